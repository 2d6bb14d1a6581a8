"""What is found in the work of a check."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from equipment.models import Discrepancy, Place
from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.answers import shown
from fleet.acts.fields import number, text
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.house.texts import refuse_blank
from fleet.models import Check, User

from .held import handed, lock_check, refuse_closed


@dataclass(frozen=True, slots=True)
class Found:
    """What was found, and at which position of the aircraft."""

    check_id: int = number("The check", least=1, name="check")
    words: str = text("What was found", 400, needed="Say what was found.")
    where: str = text("Position", 24, default="", help="Its code; blank: the aircraft as such.")


@transaction.atomic
def note_finding(*, by: User, found: Found, act_id: UUID, at: datetime) -> Discrepancy:
    """This will note what was found in the work of a check: it grounds the aircraft until it is settled.

    Refuses a position that the aircraft has not, and a check that was not handed over, or is closed.
    """
    ask(by, "note_finding")
    rows = Discrepancy.objects.filter(act_id=act_id)
    if done := done_before(act_id, "note_finding", {"found": found}, rows, by=by, at=at):
        return done
    words = refuse_blank(found.words, "Say what was found.", "words", 400)
    check = lock_check(found.check_id)
    handed(check)
    refuse_closed(check)
    return Discrepancy.objects.create(
        act_id=act_id,
        sort="condition",
        aircraft=check.aircraft,
        place=_place(check, found.where.strip()),
        words=words,
        found_at=at,
        found_by=by,
    )


def _place(check: Check, code: str) -> Place | None:
    if not code:
        return None
    found = Place.objects.filter(
        sort=Place.AIRCRAFT,
        aircraft_position__aircraft=check.aircraft_id,
        aircraft_position__type_position__code__iexact=code,
    ).first()
    if found is None:
        words = f"{check.aircraft} has no position “{code}” in use: leave it blank, or correct it."
        raise Refused("unknown_position", words, "where")
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingKept:
    id: int
    aircraft: str = shown("aircraft.registration")
    words: str
    found_at: datetime


# --- declared ---------------------------------------------------------------------------------

NOTE_FINDING = Act(
    name="note_finding",
    does=note_finding,
    said=Found,
    as_="found",
    tag="Plan",
    summary="Note a finding",
    description="Notes what was found in the work of a check. It grounds the aircraft, and keeps the check open, "
    "until it is settled.",
    address="plan/checks/<int:check_id>/findings",
    in_address=("check_id",),
    example={
        "act_id": EXAMPLE_ID,
        "words": "Bracket of the extinguisher at the aft galley cracked.",
    },
    shows=FindingKept,
    answer={
        "id": 31,
        "aircraft": "Q7-VAB",
        "words": "Bracket of the extinguisher at the aft galley cracked.",
        "found_at": "2027-03-01T10:00:00Z",
    },
)
