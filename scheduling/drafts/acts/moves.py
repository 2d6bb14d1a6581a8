"""Several checks on other days, kept in one draft: what hangars hold for all of them at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID, uuid5

from django.db import transaction

from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.fields import day, number, parts, text
from fleet.acts.repeats import done_before
from fleet.aircraft.acts.changes import ChangedCheck
from fleet.house.desks import ask
from fleet.house.refusals import Reasons, Refused
from fleet.house.texts import refuse_blank
from fleet.models import Check, User
from fleet.words.said import day_words
from scheduling.entries.foretold.moves import Reach
from scheduling.models import Draft, DraftChange
from scheduling.reckoning.foretelling import foretelling

from ..kept import reach_written, written
from .drafts import DraftShown, do_changes, open_draft

MOST = 500


@dataclass(frozen=True, slots=True)
class MovedCheck:
    """A check and the day on which it would begin; it lasts as long as before."""

    check_id: int = number("The check", least=1, name="check")
    starts_on: date = day("Starts on")


@dataclass(frozen=True, slots=True)
class NewMoves:
    """Checks on other days, and the draft that keeps them."""

    draft: str = text("Draft", 60, needed="Give the draft a name.")
    moves: tuple[MovedCheck, ...] = parts("Checks on other days", MovedCheck)


@transaction.atomic
def keep_moves(*, by: User, new: NewMoves, act_id: UUID, at: datetime, today: date) -> Draft:
    """This will keep checks on other days in the draft of this name, a new one if none is open, and move none.

    Refuses a draft without a name, none or too many checks, one named twice, and what moving any of them would
    refuse: then nothing is kept.
    """
    ask(by, "keep_drafts")
    name = refuse_blank(new.draft, "Give the draft a name.", "draft", 60)
    first = uuid5(act_id, "0")
    rows = Draft.objects.filter(changes__act_id=first)
    if done := done_before(act_id, "keep_moves", {"new": new}, rows, by=by, at=at):
        return done
    checks = _checks(new.moves)
    draft = open_draft(name, by, at)
    changes = [
        DraftChange(
            draft=draft,
            act_id=uuid5(act_id, str(place)),
            act="change_check",
            kept_at=at,
            kept_by=by,
            **_said(check, starts_on),
        )
        for place, (check, starts_on) in enumerate(_in_order(checks))
    ]
    _rehearse(changes, by=by, at=at, today=today)
    DraftChange.objects.bulk_create(changes)
    return draft


def _checks(moves: Sequence[MovedCheck]) -> list[tuple[Check, date]]:
    """Each check with its day; refuses ``no_moves``, ``too_many``, ``unknown_check`` and ``check_twice``."""
    if not moves:
        raise Refused("no_moves", "No check is moved: there is nothing to keep.", "moves")
    if len(moves) > MOST:
        raise Refused("too_many", f"Keep at most {MOST} checks in one go.", "moves")
    wanted = {each.check_id for each in moves}
    known = Check.objects.select_related("aircraft").in_bulk(wanted)
    reasons = Reasons()
    for missing in sorted(wanted - set(known)):
        reasons.add("unknown_check", f"There is no check {missing}: look it up again.", "moves")
    if len(wanted) < len(moves):
        reasons.add("check_twice", "A check is named twice: give each one day.", "moves")
    reasons.refuse()
    return [(known[each.check_id], each.starts_on) for each in moves]


def _in_order(moves: Sequence[tuple[Check, date]]) -> list[tuple[Check, date]]:
    """So that none is moved to days that another has still to leave: those to earlier days first, the earliest
    before, then those to later days, the latest before."""
    earlier = [each for each in moves if each[1] <= each[0].starts_on]
    later = [each for each in moves if each[1] > each[0].starts_on]
    return [
        *sorted(earlier, key=lambda each: (each[1], each[0].pk)),
        *sorted(later, key=lambda each: (each[1], each[0].pk), reverse=True),
    ]


def _said(check: Check, starts_on: date) -> dict[str, Any]:
    """What is said of a check on another day, what that may move, and in words."""
    ends_on = starts_on + (check.ends_on - check.starts_on)
    said = ChangedCheck(check.pk, check.name, starts_on, ends_on, check.station_id)
    reach = Reach(aircraft_ids=(check.aircraft_id,), is_of_checks=True)
    words = (
        f"{check.name} of {check.aircraft}, from {day_words(check.starts_on)}: Starts on {day_words(starts_on)},"
        f" Ends on {day_words(ends_on)}"
    )
    return {
        "said": written(said),
        "reach": reach_written(reach),
        "words": words.replace("\u202f", " ")[:300],
    }


def _rehearse(changes: Sequence[DraftChange], *, by: User, at: datetime, today: date) -> None:
    """Refuses what doing these changes would refuse now; nothing of it stays done."""
    before = transaction.savepoint()
    try:
        with foretelling():
            do_changes(changes, by=by, at=at, today=today)
    finally:
        transaction.savepoint_rollback(before)


# --- declared ---------------------------------------------------------------------------------

KEEP_MOVES = Act(
    name="keep_moves",
    who="keep_drafts",
    does=keep_moves,
    said=NewMoves,
    as_="new",
    needs_today=True,
    tag="Plan",
    summary="Keep checks on other days in a draft",
    description="Keeps several checks on other days in one draft, and moves none of them until the draft is taken.",
    address="plan/moves-kept",
    example={
        "act_id": EXAMPLE_ID,
        "draft": "Hangar slots in March",
        "moves": [{"check": 31, "starts_on": "2027-03-05"}],
    },
    shows=DraftShown,
    answer={"id": 4, "name": "Hangar slots in March", "ended_how": "", "ended_at": None},
)
