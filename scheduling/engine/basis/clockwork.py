"""What one clock says of the items of its limit, in columns: the ground of the answer and its proof."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np

from .columns import UNKNOWN, Bools, Dates, Indices, Ints
from .months import NO_DATE
from .starts import Starts


@dataclass(frozen=True, slots=True)
class ClockResult:
    """One row per item of the limit.

    ``runs``: the clock has begun and has an amount for this turn. Where facts are ``missing`` the
    dates move to ``worst_on``. ``start_on`` is the fact it counts from; ``from_original``: that is
    the original due date; ``excluded`` days were not counted, so the amount is added to start +
    excluded; ``reached_on`` is that sum before rounding, ``limit_on`` the last good day before
    extension and backstop, ``due_on`` after them. For hours and counts likewise ``start_total``,
    ``limit_at``, ``due_at``, with ``total`` now and ``left``. ``since_start``: the unit's total is
    not known, so totals count from the start. ``amount_row`` is the amount's place in the clock.
    """

    runs: Bools
    missing: Ints
    start_on: Dates
    from_original: Bools
    excluded: Ints
    is_growing: Bools
    amount: Ints
    amount_row: Indices
    reached_on: Dates
    limit_on: Dates
    due_on: Dates
    is_projected: Bools
    no_rate: Bools
    base_on: Dates
    start_total: Ints
    limit_at: Ints
    due_at: Ints
    total: Ints
    left: Ints
    since_start: Bools
    is_extended: Bools
    is_capped: Bools
    variation_until_on: Dates
    variation_until_at: Ints
    is_past: Bools
    within_variation: Bools
    worst_on: Dates

    def __len__(self) -> int:
        return len(self.runs)

    def take(self, rows: Any) -> ClockResult:
        return replace(self, **{one.name: getattr(self, one.name)[rows] for one in fields(self)})


def blank(starts: Starts) -> dict[str, Any]:
    """Every column with nothing known but the start, to be overwritten by the kind of clock."""
    number = len(starts.on)
    no = np.zeros(number, dtype=bool)
    nought = np.zeros(number, dtype="int64")
    unknown = np.full(number, UNKNOWN)
    dateless = np.full(number, NO_DATE)
    columns: dict[str, Any] = dict.fromkeys(ClockResult.__dataclass_fields__, no)
    columns |= dict.fromkeys(("reached_on", "limit_on", "due_on", "base_on"), dateless)
    columns |= dict.fromkeys(("variation_until_on", "worst_on"), dateless)
    columns |= dict.fromkeys(("start_total", "limit_at", "due_at", "total", "left"), unknown)
    columns |= {"variation_until_at": unknown, "excluded": nought, "start_on": starts.on}
    return columns


def judged(columns: dict[str, Any]) -> ClockResult:
    """The columns as a result: a date that rests on a missing fact is only the worst it could be,
    and a clock that does not run says nothing."""
    runs, due_on = columns["runs"], columns["due_on"]
    missing = np.where(runs, columns["missing"], 0)
    known = runs & (missing == 0)
    columns["missing"] = missing
    columns["worst_on"] = np.where(runs & ~known, due_on, NO_DATE)
    columns["due_on"] = np.where(known, due_on, NO_DATE)
    for name in ("is_past", "within_variation", "is_projected", "is_extended", "is_growing"):
        columns[name] = columns[name] & known
    columns["no_rate"] = columns["no_rate"] & known
    return ClockResult(**columns)
