"""Checks and overnight stops: planned, moved, cancelled."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date

from django.db import transaction

from fleet.house.desks import ask
from fleet.house.refusals import Reasons, Refusal
from fleet.house.signals import facts_changed
from fleet.models import Check, User
from fleet.words.said import day_words

AT_ONCE = 5000


@dataclass(frozen=True, slots=True)
class PlannedCheck:
    """A check as planned. One of the same aircraft, name and first day is changed to this."""

    aircraft_id: int
    name: str
    starts_on: date
    ends_on: date
    station_id: int
    sort: str = Check.CHECK
    abilities: list[str] = field(default_factory=list)
    is_cancelled: bool = False


Key = tuple[int, str, date]


def _key(check: PlannedCheck | Check) -> Key:
    return check.aircraft_id, check.name, check.starts_on


def why_not_plan(rows: Sequence[PlannedCheck]) -> dict[int, list[Refusal]]:
    """Why rows of this plan are refused, by their place in it: an end before the start, or days
    that overlap another check of the aircraft (to end and begin on one day is no overlap)."""
    found: dict[int, list[Refusal]] = defaultdict(list)
    replaced = {_key(row) for row in rows}
    beside: dict[int, list[PlannedCheck | Check]] = defaultdict(list)
    aircraft = {row.aircraft_id for row in rows}
    for check in Check.objects.filter(aircraft__in=aircraft, is_cancelled=False):
        if _key(check) not in replaced:
            beside[check.aircraft_id].append(check)
    for index, row in enumerate(rows):
        if row.ends_on < row.starts_on:
            message = (
                f"{row.name} ends on {day_words(row.ends_on)}, before it starts. Change a date."
            )
            found[index].append(Refusal("check_ends_before_start", message, "ends_on"))
        elif not row.is_cancelled:
            if other := next((o for o in beside[row.aircraft_id] if _overlap(row, o)), None):
                found[index].append(_overlapping(row, other))
            beside[row.aircraft_id].append(row)
    return dict(found)


def _overlap(one: PlannedCheck, other: PlannedCheck | Check) -> bool:
    if one.sort != other.sort:  # an overnight stop may stand within a longer ground time
        return False
    inside = one.starts_on < other.ends_on and other.starts_on < one.ends_on
    return inside or one.starts_on == other.starts_on


def _overlapping(row: PlannedCheck, other: PlannedCheck | Check) -> Refusal:
    return Refusal(
        "checks_overlap",
        f"{row.name} from {day_words(row.starts_on)} overlaps {other.name}, {day_words(other.starts_on)}"
        f" to {day_words(other.ends_on)}. Move one of them or cancel it.",
        "starts_on",
    )


@transaction.atomic
def plan_checks(*, by: User, rows: Sequence[PlannedCheck]) -> list[Check]:
    """This will plan checks, or change those already planned, and return them in their order.

    Refuses what :func:`why_not_plan` says of any of them.
    """
    ask(by, "plan_check")
    reasons = Reasons([reason for refusals in why_not_plan(rows).values() for reason in refusals])
    reasons.refuse()
    wanted = {_key(row): row for row in rows}
    there = {
        _key(check): check
        for check in Check.objects.select_for_update()
        .filter(aircraft__in={row.aircraft_id for row in rows})
        .order_by("pk")
    }
    new = [_filled(Check(), row) for key, row in wanted.items() if key not in there]
    changed = [_filled(there[key], row) for key, row in wanted.items() if key in there]
    Check.objects.bulk_create(new, batch_size=AT_ONCE)
    columns = ["ends_on", "station", "sort", "abilities", "is_cancelled"]
    Check.objects.bulk_update(changed, columns, batch_size=AT_ONCE)
    made = {_key(check): check for check in [*new, *changed]}
    touched = sorted({row.aircraft_id for row in rows})
    facts_changed.send(sender=plan_checks, unit_ids=[], aircraft_ids=touched)
    return [made[_key(row)] for row in rows]


def _filled(check: Check, row: PlannedCheck) -> Check:
    check.aircraft_id, check.name, check.starts_on = _key(row)
    check.ends_on, check.station_id, check.sort = row.ends_on, row.station_id, row.sort
    check.abilities, check.is_cancelled = list(row.abilities), row.is_cancelled
    return check
