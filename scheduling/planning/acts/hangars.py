"""How much a station's hangar holds: aircraft at a time, and people."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.db import transaction

from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.answers import shown
from fleet.acts.fields import coded, day, number, text
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.models import Station, User
from scheduling.models import HangarCapacity

MOST_SLOTS, MOST_PEOPLE = 99, 2000


@dataclass(frozen=True, slots=True)
class NewCapacity:
    """What a station's hangar holds from a day on, until another day of which something is said."""

    station_id: int = coded("Station", Station, "code", "station", most=8, help="A station's code.")
    from_on: date = day("From")
    slots: int = number(
        "Slots", most=MOST_SLOTS, hint="Aircraft at a time; 0: none stands there from that day on."
    )
    people: int | None = number(
        "People there a day",
        most=MOST_PEOPLE,
        default=None,
        help="Null: nobody has said, and none are counted.",
        hint="For checks. Blank: they are not counted.",
    )
    document: str = text("Document", 80, default="", help="Where the operator says so.")


@transaction.atomic
def state_hangar(*, by: User, capacity: NewCapacity, act_id: UUID, at: datetime) -> HangarCapacity:
    """This will say what a station's hangar holds from a day on. Checks that are planned stay as they are, though
    they be more. Refuses an unknown station."""
    ask(by, "plan_works")
    rows = HangarCapacity.objects.filter(act_id=act_id)
    said = {"capacity": capacity}
    if done := done_before(act_id, "state_hangar", said, rows, by=by, at=at):
        return done
    if not Station.objects.filter(pk=capacity.station_id).exists():
        raise Refused("unknown_station", "There is no such station: look it up again.", "station")
    return HangarCapacity.objects.create(
        act_id=act_id,
        station_id=capacity.station_id,
        from_on=capacity.from_on,
        slots=capacity.slots,
        people=capacity.people,
        document=capacity.document.strip(),
        stated_at=at,
        stated_by=by,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class CapacityShown:
    id: int
    station: str = shown("station.code")
    from_on: date
    slots: int
    people: int | None
    document: str
    stated_at: datetime


# --- declared ---------------------------------------------------------------------------------

STATE_HANGAR = Act(
    name="state_hangar",
    who="plan_works",
    does=state_hangar,
    said=NewCapacity,
    as_="capacity",
    tag="Plan",
    summary="State what a hangar holds",
    description="Says how many aircraft a station's hangar holds at a time from a day on, and how many people are "
    "there for checks.",
    address="plan/hangars",
    example={
        "act_id": EXAMPLE_ID,
        "station": "NRV",
        "from_on": "2027-03-01",
        "slots": 2,
        "people": 14,
        "document": "Capacity plan 2027",
    },
    shows=CapacityShown,
    answer={
        "id": 4,
        "station": "NRV",
        "from_on": "2027-03-01",
        "slots": 2,
        "people": 14,
        "document": "Capacity plan 2027",
        "stated_at": "2027-03-01T10:00:00Z",
    },
)
