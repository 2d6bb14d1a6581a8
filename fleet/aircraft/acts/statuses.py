"""From which day an aircraft has which status: parked, in service again, left the fleet; and that taken back."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.db import transaction

from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.fields import choice, day, text, yes_no
from fleet.acts.repeats import claim
from fleet.aircraft.ports import groundings_of
from fleet.house.desks import ask
from fleet.house.refusals import Reasons
from fleet.house.signals import facts_changed
from fleet.models import Aircraft, AircraftStatus, User
from fleet.words.said import day_words

from .standing import settle_day

#: What of an aircraft's groundings must be ended before it leaves: by the codes of the port.
STANDS_AGAINST = frozenset({"swap_open", "does_not_conform"})


@dataclass(frozen=True, slots=True)
class StatusFrom:
    """From which day on an aircraft has a status. From the day on which it has left the fleet nothing falls
    due on it; units on it go with it, unless they are recorded as taken off."""

    aircraft_id: int
    status: str = choice("Status", Aircraft.STATUSES)
    from_on: date = day("From")
    document: str = text("Document", 80, default="", help="What says so.")
    replaces: bool = yes_no(
        "Replaces",
        help="It stands instead of what is on record for that day, such as a leaving taken back.",
    )


def why_not_leave(aircraft_ids: Iterable[int], today: date) -> dict[int, str]:
    """What on record stands against an aircraft's leaving, in a sentence: a swap that is open, a record
    that waits to be reconciled. One that nothing stands against is missing."""
    wanted = sorted(set(aircraft_ids))
    found = groundings_of(wanted, today) if wanted else {}
    told = {
        one: [each.sentence for each in found.get(one, ()) if each.code in STANDS_AGAINST]
        for one in wanted
    }
    return {
        one: f"It cannot leave the fleet as it stands: {' '.join(why)}"
        for one, why in told.items()
        if why
    }


@transaction.atomic
def record_status(
    *, by: User, status: StatusFrom, act_id: UUID, at: datetime, today: date
) -> AircraftStatus:
    """This will record from which day an aircraft has a status; or, where it ``replaces``, what stands
    instead of the one on record for that day.

    Refuses a second status of a day that replaces none (``status_on_record``), and that an aircraft has
    left with a swap open or a record unreconciled (``aircraft_cannot_leave``).
    """
    ask(by, "enter_fleet_data")
    is_now = claim(act_id, "record_aircraft_status", {"status": status}, by=by, at=at)
    Aircraft.objects.select_for_update().get(pk=status.aircraft_id)
    rows = AircraftStatus.objects.filter(aircraft=status.aircraft_id, from_on=status.from_on)
    stands = rows.order_by("pk").last()
    if stands and (not is_now or (stands.status, stands.document) == _said(status)):
        return stands
    _refuse(status, stands, today)
    made = AircraftStatus.objects.create(
        aircraft_id=status.aircraft_id,
        status=status.status,
        from_on=status.from_on,
        document=status.document.strip(),
        replaces=stands,
        recorded_at=at,
        recorded_by=by,
    )
    settle_day(today=today)
    facts_changed.send(sender=record_status, unit_ids=[], aircraft_ids=[status.aircraft_id])
    return made


def _said(status: StatusFrom) -> tuple[str, str]:
    return status.status, status.document.strip()


def _refuse(status: StatusFrom, stands: AircraftStatus | None, today: date) -> None:
    reasons = Reasons()
    if stands and not status.replaces:
        on = day_words(stands.from_on)
        reasons.add(
            "status_on_record",
            f"From {on} it is on record as {stands.get_status_display()}. Say that this replaces it, or"
            " give another day.",
            "replaces",
        )
    if status.status == Aircraft.LEFT and status.from_on <= today:
        for why in why_not_leave([status.aircraft_id], today).values():
            reasons.add("aircraft_cannot_leave", f"{why} End that first.", "status")
    reasons.refuse()


# --- declared ---------------------------------------------------------------------------------

RECORD_STATUS = Act(
    name="record_aircraft_status",
    who="enter_fleet_data",
    does=record_status,
    said=StatusFrom,
    as_="status",
    needs_today=True,
    tag="Aircraft",
    summary="Say from when an aircraft has a status",
    description="Records from which day an aircraft is in service, parked, in check, leased out, or has left "
    "the fleet. A second status of one day replaces the first, which stays on record: so a leaving is taken "
    "back.",
    address="aircraft/<str:registration>/statuses",
    in_address=("aircraft_id",),
    example={
        "act_id": EXAMPLE_ID,
        "status": "left",
        "from_on": "2027-12-01",
        "document": "Return of lease 14",
    },
)
