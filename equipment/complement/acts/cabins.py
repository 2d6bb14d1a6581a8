"""What an aircraft's cabin is, said from a day on."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.db import transaction

from equipment.models import Cabin
from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.fields import Heading, day, number, text, yes_no
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.refusals import Reasons
from fleet.house.texts import why_not_kept
from fleet.models import Aircraft, User

MOST = 1000


@dataclass(frozen=True, slots=True)
class NewCabin:
    """A cabin from a day on: passenger seats, the most people on board, overwater or not, by a document."""

    aircraft_id: int
    from_on: date = day("From", heading=Heading("From", "From this day on.", ("from date",)))
    seats: int = number(
        "Passenger seats", most=MOST, heading=Heading("Passenger seats", "As fitted.", ("seats",))
    )
    occupants: int = number(
        "Most people on board",
        most=MOST,
        help="Crew and children too.",
        heading=Heading("Occupants", "The most people on board, crew and children too."),
    )
    is_overwater: bool = yes_no(
        "Flies extended overwater",
        heading=Heading("Overwater", "yes: it flies extended overwater."),
    )
    document: str = text(
        "Document",
        80,
        default="",
        help="The layout or the operations specification that says so.",
        heading=Heading("Document", "The layout or operations specification that says so."),
    )


@transaction.atomic
def state_cabin(*, by: User, cabin: NewCabin, act_id: UUID, at: datetime) -> Cabin:
    """This will say what an aircraft's cabin is from a day on; the complement asked of it follows.

    A day to come is taken: the layout of the next check is known today. Refuses no document, fewer
    people than seats, an unknown aircraft, and a day from which another cabin is on record.
    """
    ask(by, "state_cabin")
    rows = Cabin.objects.filter(act_id=act_id)
    if done := done_before(act_id, "state_cabin", {"cabin": cabin}, rows, by=by, at=at):
        return done
    reasons = Reasons()
    words = "Name the layout, or the operations specification, that says so."
    reasons.found += why_not_kept(cabin.document.strip(), "document", 80, words)
    if cabin.occupants < cabin.seats:
        words = "Everybody on a passenger seat is on board: give at least as many people as seats."
        reasons.add("fewer_people_than_seats", words, "occupants")
    if not Aircraft.objects.filter(pk=cabin.aircraft_id).exists():
        reasons.add("unknown_aircraft", "There is no such aircraft: look it up again.", "aircraft")
    if Cabin.objects.filter(aircraft=cabin.aircraft_id, from_on=cabin.from_on).exists():
        words = "Another cabin is on record from this day: give the day on which this one begins."
        reasons.add("cabin_on_record", words, "from_on")
    reasons.refuse()
    return Cabin.objects.create(
        act_id=act_id,
        aircraft_id=cabin.aircraft_id,
        from_on=cabin.from_on,
        seats=cabin.seats,
        occupants=cabin.occupants,
        is_overwater=cabin.is_overwater,
        document=cabin.document.strip(),
        recorded_at=at,
        recorded_by=by,
    )


# --- declared ---------------------------------------------------------------------------------

STATE_CABIN = Act(
    name="state_cabin",
    does=state_cabin,
    said=NewCabin,
    as_="cabin",
    tag="Aircraft",
    summary="State a cabin",
    description="Says how many passenger seats an aircraft has from a day on, how many people it "
    "carries at most, and whether it flies overwater: the complement asked of it follows.",
    address="aircraft/<str:registration>/cabins",
    example={
        "act_id": EXAMPLE_ID,
        "from_on": "2024-03-01",
        "seats": 186,
        "occupants": 194,
        "is_overwater": True,
        "document": "LOPA 25-10-04 revision B",
    },
)
