"""Where one due item is done, whatever the rule says: at a check that is chosen, or in extra ground time."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.db import transaction

from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.answers import shown
from fleet.acts.fields import choice, number, text
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.pages import zone
from fleet.house.refusals import Refused
from fleet.house.texts import refuse_blank
from fleet.models import Check, User
from fleet.words.said import day_words
from scheduling.models import DueItem, Placement

from ..subject import subject_columns


@dataclass(frozen=True, slots=True)
class NewPlacement:
    """Where a due item is done, and why: at a check, in extra ground time, or by the rule again."""

    item_id: int = number("The due item", least=1, name="item", help="Its id in the due list.")
    sort: str = choice("Done", Placement.SORTS)
    reason: str = text("Why", 200, needed="Say why: whoever reads the plan asks.")
    check_id: int | None = number(
        "The check", least=1, name="check", default=None, help="Of the same aircraft."
    )


@transaction.atomic
def place_item(*, by: User, placement: NewPlacement, act_id: UUID, at: datetime) -> Placement:
    """This will place one due item at a check, or take it out of the rule; it holds while the item's interval runs.

    Refuses an item that is no more, a check of another aircraft, one that is over, cancelled or begins
    after the item's last day, and a check that cannot do the work.
    """
    ask(by, "plan_works")
    rows = Placement.objects.filter(act_id=act_id)
    said = {"placement": placement}
    if done := done_before(act_id, "place_item", said, rows, by=by, at=at):
        return done
    item = DueItem.objects.filter(pk=placement.item_id).select_related("limit", "work").first()
    if item is None or item.aircraft_id is None:
        words = "There is no such due item on an aircraft, or no more: look it up again."
        raise Refused("unknown_due_item", words, "item")
    check = None
    if placement.sort == Placement.AT_CHECK:
        check = _check_for(item, placement.check_id, at.astimezone(zone()).date())
    return Placement.objects.create(
        act_id=act_id,
        **subject_columns(item),
        programme_id=item.limit.programme_id,
        limit_code=item.limit.code,
        start_on=item.start_on,
        sort=placement.sort,
        check_planned=check,
        reason=refuse_blank(placement.reason, "Say why.", "reason", 200),
        placed_at=at,
        placed_by=by,
    )


def _check_for(item: DueItem, check_id: int | None, today: date) -> Check:
    """The check, locked while it is chosen, so that nobody moves it meanwhile."""
    rows = Check.objects.select_for_update(of=("self",)).select_related("station")
    check = rows.filter(pk=check_id or 0).first()
    if check is None or check.aircraft_id != item.aircraft_id:
        raise Refused("unknown_check", "There is no such check of this aircraft.", "check")
    if check.is_cancelled or check.ends_on < today or check.closed_on is not None:
        state = "closed" if check.closed_on is not None else "over"
        words = f"{check.name} is {'cancelled' if check.is_cancelled else state}. Choose another."
        raise Refused("check_not_to_come", words, "check")
    if item.due_on is None:
        words = "Nobody can say until when this may wait, so no check is known to be in time."
        raise Refused("no_due_date", words, "check")
    if check.starts_on > item.due_on:
        words = (
            f"{check.name} begins on {day_words(check.starts_on)}, after the last day,"
            f" {day_words(item.due_on)}. Move the check, or choose an earlier one."
        )
        raise Refused("placed_after_limit", words, "check")
    of_station = check.station.abilities if check.sort == Check.OVERNIGHT else []
    able = check.abilities or of_station
    if able and item.work.code not in able:
        words = f"{item.work.name} is not possible at {check.name} in {check.station.code}."
        raise Refused("work_not_possible_there", words, "check")
    return check


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacementShown:
    id: int
    sort: str
    check: int | None = shown("check_planned_id")
    reason: str
    start_on: date | None
    placed_at: datetime


# --- declared ---------------------------------------------------------------------------------

PLACE_ITEM = Act(
    name="place_item",
    who="plan_works",
    does=place_item,
    said=NewPlacement,
    as_="placement",
    tag="Plan",
    summary="Place a due item",
    description="Says where one due item is done whatever the rule says: at a check of its aircraft on or "
    "before its last day, in extra ground time, or by the rule again.",
    address="plan/placements",
    example={
        "act_id": EXAMPLE_ID,
        "item": 2147483649,
        "sort": "check",
        "check": 31,
        "reason": "The slide comes off for the door work anyway.",
    },
    shows=PlacementShown,
    answer={
        "id": 12,
        "sort": "check",
        "check": 31,
        "reason": "The slide comes off for the door work anyway.",
        "start_on": "2024-03-01",
        "placed_at": "2027-03-01T10:00:00Z",
    },
)
