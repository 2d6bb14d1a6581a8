"""Records of a unit were lost: what is missing, and the best estimate that stands in for it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.db import transaction

from equipment.availability.acts.units import lock_unit
from equipment.common.said import UNIT_ID, unit_row
from equipment.models import RecordsLost
from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.answers import shown
from fleet.acts.fields import day, text
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.moments import why_future
from fleet.house.refusals import Reasons
from fleet.house.texts import why_not_kept
from fleet.models import User

_LONGEST = {"lost": 300, "estimate": 300, "document": 80, "submitted_to": 80}
_NEEDED = {
    "lost": "Say which records are lost, and how that came about.",
    "estimate": "Give the best estimate of what they said, and what it rests on.",
    "document": "Name the statement that describes the loss.",
}


@dataclass(frozen=True, slots=True)
class LostRecords:
    """Which records of a unit are lost, of which days, and what is taken instead."""

    unit_id: int = unit_row(help=UNIT_ID)
    lost: str = text("What is lost, and how", 300, needed=_NEEDED["lost"])
    estimate: str = text("Best estimate, and what it rests on", 300, needed=_NEEDED["estimate"])
    document: str = text("The statement of the loss", 80, needed=_NEEDED["document"])
    from_on: date | None = day("Lost from", default=None)
    until_on: date | None = day("Lost until", default=None)
    submitted_to: str = text(
        "Submitted to", 80, default="", help="The authority; empty while it is not submitted yet."
    )


@transaction.atomic
def state_lost_records(*, by: User, loss: LostRecords, act_id: UUID, at: datetime) -> RecordsLost:
    """This will record that records of a unit were lost, and what was reconstructed (AMC M.A.305). It changes
    no total: what is estimated is entered as a life statement of its own quality.

    Refuses an unknown unit, a statement without what is lost, estimate or document, and days to come
    or in the wrong order.
    """
    ask(by, "state_lost_records")
    rows = RecordsLost.objects.filter(act_id=act_id)
    if done := done_before(act_id, "state_lost_records", {"loss": loss}, rows, by=by, at=at):
        return done
    unit = lock_unit(loss.unit_id)
    said = {name: getattr(loss, name).strip() for name in _LONGEST}
    reasons = Reasons()
    for name, most in _LONGEST.items():
        reasons.found += why_not_kept(said[name], name, most, _NEEDED.get(name, ""))
    for name in ("from_on", "until_on"):
        reasons.found += why_future(getattr(loss, name), at, name)
    if loss.from_on and loss.until_on and loss.until_on < loss.from_on:
        reasons.add("wrong_order", "The last day is before the first.", "until_on")
    reasons.refuse()
    return RecordsLost.objects.create(
        act_id=act_id,
        unit=unit,
        from_on=loss.from_on,
        until_on=loss.until_on,
        recorded_at=at,
        recorded_by=by,
        **said,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordsLostShown:
    id: int
    unit: int = shown("unit_id")
    lost: str
    estimate: str
    document: str
    from_on: date | None
    until_on: date | None
    submitted_to: str
    recorded_at: datetime


# --- declared ---------------------------------------------------------------------------------

_SAID = {
    "unit": 512,
    "lost": "Work cards of 2019: the archive at LYD burnt.",
    "estimate": "5 200 h at most, by the aircraft's log of those years.",
    "document": "QREC 2024-03",
    "from_on": "2019-01-01",
    "until_on": "2019-12-31",
    "submitted_to": "The authority, 3 March 2024",
}
STATE_LOST_RECORDS = Act(
    name="state_lost_records",
    does=state_lost_records,
    said=LostRecords,
    as_="loss",
    tag="Units",
    summary="State lost records",
    description="Records which records of a unit are lost, and the best estimate that stands in for them. No total "
    "changes by it.",
    address="records-lost",
    example={"act_id": EXAMPLE_ID, **_SAID},
    shows=RecordsLostShown,
    answer={"id": 2, "recorded_at": "2024-03-04T08:00:00Z", **_SAID},
)
