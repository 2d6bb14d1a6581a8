"""A calendar's secret address: made for oneself, shown once, withdrawn."""

from __future__ import annotations

import secrets
from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple
from uuid import UUID

from django.db import transaction

from fleet.acts.act import Act
from fleet.acts.fields import coded, number, text
from fleet.acts.repeats import claim
from fleet.doors.tokens import digest_of
from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.house.texts import refuse_blank
from fleet.models import Aircraft, User
from scheduling.models import CalendarAddress

#: So many addresses one person may have at a time.
MOST = 10


@dataclass(frozen=True, slots=True)
class NewAddress:
    """What the calendar is for, and of which aircraft; blank: of all."""

    label: str = text("What it is for", 80, needed="Say what it is for: “my phone”, say.")
    aircraft_id: int | None = coded(
        "Aircraft", Aircraft, "registration", "aircraft", most=10, default=None, help="Blank: all."
    )


class MadeAddress(NamedTuple):
    """An address just made. ``secret`` exists here and nowhere else: show it once; empty of one made before."""

    address: CalendarAddress
    secret: str


@transaction.atomic
def make_calendar_address(*, by: User, new: NewAddress, act_id: UUID, at: datetime) -> MadeAddress:
    """This will make a secret address of a calendar for oneself. Refuses without a label, and more than
    ten at a time."""
    ask(by, "read")
    rows = CalendarAddress.objects.filter(act_id=act_id)
    if not claim(act_id, "make_calendar_address", {"new": new}, by=by, at=at, earlier=[rows]):
        return MadeAddress(rows.get(), "")
    label = refuse_blank(new.label, "Say what it is for.", "label", 80)
    if CalendarAddress.objects.filter(user=by, withdrawn_at=None).count() >= MOST:
        words = f"You have {MOST} addresses: withdraw one that is not used any more."
        raise Refused("too_many_addresses", words, "label")
    secret = secrets.token_urlsafe(32)
    made = CalendarAddress.objects.create(
        act_id=act_id,
        user=by,
        label=label,
        aircraft_id=new.aircraft_id,
        digest=digest_of(secret),
        made_at=at,
    )
    return MadeAddress(made, secret)


@dataclass(frozen=True, slots=True)
class Withdrawn:
    """An address that answers no more."""

    address_id: int = number("The address", least=1, name="address")


@transaction.atomic
def withdraw_calendar_address(
    *, by: User, withdrawn: Withdrawn, act_id: UUID, at: datetime
) -> CalendarAddress:
    """This will withdraw one of one's own addresses. Refuses ``unknown_address`` of another's."""
    ask(by, "read")
    claim(act_id, "withdraw_calendar_address", {"withdrawn": withdrawn}, by=by, at=at)
    rows = CalendarAddress.objects.select_for_update().filter(user=by, pk=withdrawn.address_id)
    found = rows.first()
    if found is None:
        raise Refused("unknown_address", "You have no such address: look at the list again.")
    if found.withdrawn_at is None:
        found.withdrawn_at = at
        found.save(update_fields=["withdrawn_at"])
    return found


# --- declared ---------------------------------------------------------------------------------

MAKE_ADDRESS = Act(
    name="make_calendar_address",
    who="read",
    does=make_calendar_address,
    said=NewAddress,
    as_="new",
    tag="Plan",
    summary="Make a calendar address",
)
WITHDRAW_ADDRESS = Act(
    name="withdraw_calendar_address",
    who="read",
    does=withdraw_calendar_address,
    said=Withdrawn,
    as_="withdrawn",
    tag="Plan",
    summary="Withdraw a calendar address",
)
