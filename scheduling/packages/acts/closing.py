"""A check is closed: every item of its package done or carried forward, every finding settled."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.db import transaction

from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.answers import shown
from fleet.acts.fields import number, text
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.pages import zone
from fleet.house.refusals import Reasons, Refusal, Refused
from fleet.house.signals import facts_changed
from fleet.house.texts import refuse_long
from fleet.models import Check, User
from fleet.words.said import day_words
from scheduling.models import CheckClosed

from ..reads.handed import Handed
from ..reads.package import package_of
from ..standing import why_not_close
from .handing import words_of
from .held import handed, lock_check, refuse_closed


@dataclass(frozen=True, slots=True)
class Closing:
    """A check that is closed."""

    check_id: int = number("The check", least=1, name="check")
    words: str = text("Remarks", 200, default="")


@transaction.atomic
def close_check(*, by: User, closing: Closing, act_id: UUID, at: datetime) -> CheckClosed:
    """This will close a check, and keep how each item and finding stood.

    Refuses (each by name) an item that is neither done nor carried forward, what the plan placed there
    since it was handed over, a finding that is not settled; a check that has not begun, was not handed
    over, or is closed already.
    """
    ask(by, "close_check")
    rows = CheckClosed.objects.filter(act_id=act_id)
    if done := done_before(act_id, "close_check", {"closing": closing}, rows, by=by, at=at):
        return done
    words = refuse_long(closing.words.strip(), "words", 200)
    check, day = lock_check(closing.check_id), at.astimezone(zone()).date()
    refuse_closed(check)
    package = handed(check)
    _refuse_early(check, day)
    Reasons(
        [
            *why_not_close(
                [(each.row.number, each.row.words, each.standing) for each in package.items],
                [each.words for each in package.open_findings],
            ),
            *_placed_since(check, package, day),
        ]
    ).refuse()
    made = CheckClosed.objects.create(
        act_id=act_id,
        check_planned=check,
        words=words,
        content=content_of(package),
        closed_on=day,
        closed_at=at,
        closed_by=by,
    )
    check.closed_on = day  # what lasts no longer waits for it: it is over, whenever it was to end
    check.save(update_fields=["closed_on"])
    facts_changed.send(sender=close_check, unit_ids=[], aircraft_ids=[check.aircraft_id])
    return made


def _refuse_early(check: Check, day: date) -> None:
    if check.starts_on > day:
        words = f"{check.name} begins on {day_words(check.starts_on)}: it is closed once its work is done."
        raise Refused("check_not_begun", words, "check")


def _placed_since(check: Check, package: Handed, day: date) -> list[Refusal]:
    """What is in nobody's hand: the plan placed it at this check after the package was handed over."""
    there = {each.row.due_item for each in package.items}
    fresh = [line for line in package_of(check, day).lines if line.job.item_id not in there]
    words = "was placed here after the package was handed over: hand it over again, or move it."
    return [Refusal("not_handed_over", f"{words_of(line)} {words}", None) for line in fresh]


def content_of(package: Handed) -> dict[str, Any]:
    """Each item and finding as it stands, in words that stay."""
    return {
        "items": [
            {
                "number": each.row.number,
                "words": each.row.words,
                "state": each.standing.state,
                "said": each.standing.words,
                "swap": each.standing.swap_id,
            }
            for each in package.items
        ],
        "findings": [{"words": each.words, "settled": each.settled} for each in package.findings],
    }


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosedShown:
    id: int
    check: int = shown("check_planned_id")
    words: str
    closed_on: date
    closed_at: datetime


# --- declared ---------------------------------------------------------------------------------

CLOSE_CHECK = Act(
    name="close_check",
    does=close_check,
    said=Closing,
    as_="closing",
    tag="Plan",
    summary="Close a check",
    description="Closes a check whose items are all done or carried forward, and whose findings are settled. "
    "What keeps it open is named.",
    address="plan/checks/<int:check_id>/closing",
    in_address=("check_id",),
    example={"act_id": EXAMPLE_ID, "words": "Handed back to the line at 14:00."},
    shows=ClosedShown,
    answer={
        "id": 2,
        "check": 31,
        "words": "Handed back to the line at 14:00.",
        "closed_on": "2027-03-02",
        "closed_at": "2027-03-02T14:00:00Z",
    },
)
