"""Two days of the due list beside each other: what is new, what is gone, what moved, and why.

Both days are reckoned by what is recorded now, so that the difference is what happened between them.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from itertools import islice
from typing import NamedTuple

from fleet.drawing.states import state_of
from fleet.house.refusals import Refused
from fleet.words.said import day_words
from scheduling.due import due_list
from scheduling.due.lists.filters import DueFilters
from scheduling.due.lists.rows import DueRow

#: More are not compared at once: a page with all their differences nobody reads.
MOST_COMPARED = 5000


@dataclass(frozen=True, slots=True)
class Change:
    """One item that differs: as it is on the later day (``was`` on the earlier), and why, as far as the rows tell."""

    row: DueRow
    was: DueRow | None
    why: str


@dataclass(frozen=True, slots=True)
class Compared:
    """What differs between two days; ``same`` items do not, but for the days that passed."""

    new: list[Change]
    gone: list[Change]
    moved: list[Change]
    same: int


def compared(*, filters: DueFilters, as_of: date, beside: date) -> Compared:
    """The list of ``as_of`` against that of the other day, the earlier one as *was*.

    Refuses ``too_many_to_compare``.
    """
    earlier, later = sorted((as_of, beside))
    before, after = _rows(filters, earlier), _rows(filters, later)
    units = {row.unit_id for row in before.values()}, {row.unit_id for row in after.values()}
    moved = [
        Change(row, before[key], why)
        for key, row in after.items()
        if key in before and (why := why_moved(before[key], row, later))
    ]
    return Compared(
        new=[
            Change(row, None, _why_new(row, units[0]))
            for key, row in after.items()
            if key not in before
        ],
        gone=[
            Change(row, row, _why_gone(row, units[1]))
            for key, row in before.items()
            if key not in after
        ],
        moved=moved,
        same=sum(key in before for key in after) - len(moved),
    )


def _rows(filters: DueFilters, day: date) -> dict[int, DueRow]:
    found = list(islice(due_list.due_rows(filters=filters, as_of=day), MOST_COMPARED + 1))
    if len(found) > MOST_COMPARED:
        raise Refused(
            "too_many_to_compare",
            f"More than {MOST_COMPARED} items would be compared. Narrow the list first: to a station, an"
            " aircraft, a kind or a work.",
            "beside",
        )
    return {row.id: row for row in found}


class Cause(NamedTuple):
    """Why an item stands otherwise: of which sort (of what is recorded where a record does it), in words."""

    sort: str
    words: str


SAME = Cause("", "")


def why_moved(was: DueRow, row: DueRow, on: date) -> str:
    """Why an item stands otherwise than it did, in words; empty where it does not."""
    return cause_of(was, row, on).words


def cause_of(was: DueRow, row: DueRow, on: date) -> Cause:
    """The first cause that the two rows of an item tell; ``on`` is the later day."""
    place, before = _place(row), _place(was)
    if row.start_on != was.start_on and row.start_on is not None:
        return Cause("work", f"work recorded: counted from {day_words(row.start_on)}")
    if place != before:
        return Cause("movement", f"moved from {before} to {place}")
    if row.until_on != was.until_on and row.due_on == was.due_on:
        return Cause("extension", "extension recorded" if row.until_on else "extension ended")
    if row.due_on != was.due_on or row.worst_on != was.worst_on:
        return _date_cause(was, row)
    return _band_cause(was, row, on)


def _band_cause(was: DueRow, row: DueRow, on: date) -> Cause:
    if row.band == was.band:
        return SAME
    if (row.check_name, row.check_starts_on) != (was.check_name, was.check_starts_on):
        if was.check_starts_on is not None and was.check_starts_on < on:
            return Cause("days", f"{_check(was)} has passed, now {_check(row)}")
        # What is past its day is so whatever is planned, and what is not serviceable too.
        if not {"overdue", "unserviceable"} & {row.band, was.band}:
            return Cause("checks", f"the plan of checks changed: {_check(was)}, now {_check(row)}")
    before = f"{state_of(was.band).word} before"
    if row.band == "unserviceable":
        return Cause("tag", f"tagged unserviceable, {before}")
    if was.band == "unserviceable":
        return Cause("tag", f"serviceable again, {before}")
    return Cause("days", f"{before}: days passed")


def _date_cause(was: DueRow, row: DueRow) -> Cause:
    at = (row.due_at_minutes, row.due_at_cycles, row.due_at_other)
    if at != (was.due_at_minutes, was.due_at_cycles, was.due_at_other) or row.limit != was.limit:
        return Cause("limit", "its limit changed")
    if row.decided_by != was.decided_by:
        now, before = row.decided_by or "no clock", was.decided_by or "no clock"
        return Cause("clock", f"now by {now}, before by {before}")
    if set(row.missing) != set(was.missing):
        is_fewer = len(row.missing) < len(was.missing)
        return Cause("facts", "facts recorded" if is_fewer else "facts missing since")
    is_use = row.is_projected or was.is_projected
    return Cause("use", "the aircraft's use") if is_use else Cause("limit", "its limit changed")


def _place(row: DueRow) -> str:
    return f"{row.registration} {row.position}".strip() or row.station or "off aircraft"


def _check(row: DueRow) -> str:
    return f"{row.check_name} on {day_words(row.check_starts_on)}" if row.check_name else "no check"


def _why_new(row: DueRow, known: set[int | None]) -> str:
    return cause_new(row, is_known=row.unit_id in known).words


def cause_new(row: DueRow, *, is_known: bool) -> Cause:
    """Why an item is new. ``is_known``: the list had its unit before."""
    if row.work == "Open item":
        return Cause("open_item", "opened since")
    if not is_known:
        return Cause("movement", "the unit came to these lists")
    return Cause("limit", "a limit began to apply")


def _why_gone(row: DueRow, known: set[int | None]) -> str:
    return cause_gone(row, is_known=row.unit_id in known).words


def cause_gone(row: DueRow, *, is_known: bool) -> Cause:
    """Why an item is gone. ``is_known``: the list still has its unit."""
    if row.work == "Open item":
        return Cause("open_item", "closed since")
    if not is_known:
        return Cause("movement", "the unit left these lists")
    return Cause("work", "done, or its limit ended")
