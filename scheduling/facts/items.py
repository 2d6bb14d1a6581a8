"""A due item as both ways of reading give it: stored, or reckoned for the page. Keys, no words."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

#: ``sort_on`` of an item that has no date: of one that is past its limit, and of any other.
LONG_PAST, NEVER = date(1, 1, 1), date(9999, 12, 31)
#: The key of a due item is (subject, limit, sort of subject): see :func:`item_id`.
LIMIT_BITS, SORT_BITS = 20, 2
UNIT, POSITION, AIRCRAFT, POPULATION = range(4)


class Item(NamedTuple):
    """The columns of ``scheduling.models.DueItem``, in the order they are stored in."""

    id: int
    limit_id: int
    unit_id: int | None
    position_id: int | None
    aircraft_id: int | None
    line_unit_id: int | None
    station_id: int | None
    kind_id: int | None
    part_number_id: int | None
    work_id: int
    as_of: date
    band: int
    sort_on: date
    due_on: date | None
    until_on: date | None
    due_on_projected: bool
    due_at_minutes: int | None
    due_at_cycles: int | None
    due_at_other: int | None
    left_minutes: int | None
    left_cycles: int | None
    left_other: int | None
    start_on: date | None
    decided_by: int | None
    missing: int
    worst_on: date | None
    flags: int
    check_planned_id: int | None
    rule_from_on: date | None
    unit_stamp: int
    aircraft_stamp: int
    programme_stamp: int


def item_id(subject_id: int, limit_id: int, sort: int) -> int:
    """The key of a due item: the same subject under the same limit has it whenever it is reckoned.

    Below 2**53 up to 2**31 units, so that a browser's numbers hold it.
    """
    return (subject_id << LIMIT_BITS | limit_id) << SORT_BITS | sort


def subject_of(item: int) -> tuple[int, int, int]:
    """(subject's key, limit's key, sort of subject) of an item's key."""
    rest, sort = divmod(item, 1 << SORT_BITS)
    subject, limit = divmod(rest, 1 << LIMIT_BITS)
    return subject, limit, sort
