"""One check on record is changed: moved, lengthened, renamed, cancelled. It stays the same check."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.db import transaction

from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.fields import coded, day, number, text, yes_no
from fleet.acts.repeats import claim
from fleet.house.desks import ask
from fleet.house.pages import zone
from fleet.house.refusals import Reasons, Refused
from fleet.house.signals import facts_changed
from fleet.models import Check, Station, User
from fleet.words.said import day_words

from .checks import PlannedCheck, filled, note_planned, why_not_plan
from .slots import people_said, slot_said


@dataclass(frozen=True, slots=True)
class ChangedCheck:
    """A check on record as it is from now on: moved, lengthened, elsewhere, or cancelled. It stays the
    same check: what is planned for it goes with it."""

    check_id: int = number("The check", least=1, name="check")
    name: str = text("Name", 40)
    starts_on: date = day("Starts on")
    ends_on: date = day("Ends on")
    station_id: int = coded("Station", Station, "code", "station", most=8, help="A station's code.")
    slot: str | None = slot_said()
    people: int | None = people_said()
    is_cancelled: bool = yes_no("Cancelled", help="It will not be held.")


@transaction.atomic
def change_check(*, by: User, change: ChangedCheck, act_id: UUID, at: datetime) -> Check:
    """This will move, lengthen, rename or cancel one check, which stays the same one.

    Refuses an unknown check, and what :func:`why_not_plan` says of the new days; another check of
    that name and first day.
    """
    ask(by, "plan_check")
    rows = Check.objects.filter(pk=change.check_id)
    is_now = claim(act_id, "change_check", {"change": change}, by=by, at=at)
    check = rows.select_for_update().first()
    if check is None:
        raise Refused("unknown_check", "There is no such check: look it up again.", "check")
    if not is_now:
        return check
    if check.closed_on is not None:
        words = f"{check.name} was closed on {day_words(check.closed_on)}: it stays as it was."
        raise Refused("check_closed", words, "check")
    new = _changed(check, change)
    today = at.astimezone(zone()).date()
    reasons = Reasons(why_not_plan([new], today, frozenset([check.pk])).get(0, []))
    same = Check.objects.filter(aircraft=check.aircraft_id, name=new.name, starts_on=new.starts_on)
    if same.exclude(pk=check.pk).exists():
        words = (
            f"Another {new.name} begins on {day_words(new.starts_on)}: give another name or day."
        )
        reasons.add("one_check_of_this_name_and_start", words, "starts_on")
    reasons.refuse()
    filled(check, new).save()
    note_planned([check], by, at)
    facts_changed.send(sender=change_check, unit_ids=[], aircraft_ids=[check.aircraft_id])
    return check


def _changed(check: Check, change: ChangedCheck) -> PlannedCheck:
    """The check as it is from now on; a slot and people that are not said are as they were."""
    return PlannedCheck(
        check.aircraft_id,
        change.name,
        change.starts_on,
        change.ends_on,
        change.station_id,
        check.sort,
        check.abilities,
        change.is_cancelled,
        check.slot if change.slot is None else change.slot,
        check.people if change.people is None else change.people,
    )


# --- declared ---------------------------------------------------------------------------------

CHANGE_CHECK = Act(
    name="change_check",
    who="plan_check",
    does=change_check,
    said=ChangedCheck,
    as_="change",
    tag="Aircraft",
    summary="Change a check",
    description="Moves, lengthens, renames or cancels a check on record, by its id. It stays the same "
    "check.",
    address="check-changes",
    example={
        "act_id": EXAMPLE_ID,
        "check": 31,
        "name": "C4",
        "starts_on": "2027-06-14",
        "ends_on": "2027-06-25",
        "station": "LYD",
    },
)
