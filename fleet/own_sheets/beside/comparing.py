"""The sheet's own next dates beside the reckoned ones: what differs, grouped by its reason."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass, field
from datetime import date
from typing import Any

from fleet.intake.stamps import Stamp, in_words
from fleet.own_sheets.intervals import months_between
from fleet.own_sheets.words.heads import work_name

from .claims import Claim, Reckoned, count_words
from .counts import outcome_of, reckoned_ways

SAME, SAME_MONTH, DIFFERS = "same day", "same month", "differs"


@dataclass(slots=True)
class Group:
    """Dates of one kind and work that differ (or agree) for one reason."""

    kind: str
    work: str
    outcome: str
    reason: str
    count: int = 0


@dataclass(slots=True)
class Comparison:
    """Counts, groups with the commonest first, and each line that differs."""

    total: int = 0
    same: int = 0
    same_month: int = 0
    differ: int = 0
    groups: list[Group] = field(default_factory=list)
    rows: list[list[str]] = field(default_factory=list)

    def as_json(self) -> dict[str, Any]:
        return asdict(self)


#: So many lines that differ are kept one by one; all are counted.
MOST_ROWS = 20_000


def compared(claims: Sequence[Claim], reckoned: Sequence[Reckoned | None]) -> Comparison:
    """Claims beside what is reckoned of each, in the same order; None where no limit asks for it."""
    whole = Comparison(total=len(claims))
    groups: dict[tuple[str, str, str, str], Group] = {}
    for claim, due in zip(claims, reckoned, strict=True):
        outcome, reason = _outcome(claim, due)
        work = work_name(claim.work)
        group = groups.setdefault(
            (claim.kind, work, outcome, reason), Group(claim.kind, work, outcome, reason)
        )
        group.count += 1
        whole.same += outcome == SAME
        whole.same_month += outcome == SAME_MONTH
        whole.differ += outcome == DIFFERS
        if outcome != SAME and len(whole.rows) < MOST_ROWS:
            whole.rows.append(_row(claim, due, work, reason))
    order = {DIFFERS: 0, SAME_MONTH: 1, SAME: 2}
    whole.groups = sorted(
        groups.values(), key=lambda g: (order[g.outcome], -g.count, g.kind, g.work)
    )
    return whole


ROW_HEADS = (
    "Sheet",
    "Cell",
    "Where",
    "Kind",
    "Part number",
    "Serial number",
    "Work",
    "The sheet says",
    "Reckoned",
    "Reason",
)


def _row(claim: Claim, due: Reckoned | None, work: str, reason: str) -> list[str]:
    return [
        claim.sheet,
        claim.cell,
        claim.where,
        claim.kind,
        claim.part,
        claim.serial,
        work,
        claim.words,
        _reckoned_words(claim, due),
        reason,
    ]


def _reckoned_words(claim: Claim, due: Reckoned | None) -> str:
    if isinstance(claim.says, Stamp):
        return in_words(Stamp(due.due_on, "day")) if due and due.due_on else "no date"
    ways = reckoned_ways(claim, due) if due else []
    return count_words(claim.measure, ways[0][1]) if ways else "no total"


def _outcome(claim: Claim, due: Reckoned | None) -> tuple[str, str]:
    if due is None:
        return DIFFERS, "no limit here asks for this work on this kind"
    if not isinstance(claim.says, Stamp):
        is_same, reason = outcome_of(claim, due)
        return SAME if is_same else DIFFERS, reason
    return _of_dates(claim, claim.says, due)


def _of_dates(claim: Claim, says: Stamp, due: Reckoned) -> tuple[str, str]:
    if due.due_on is None:
        return DIFFERS, f"no date can be reckoned: {due.missing or 'facts are missing'}"
    on = due.due_on
    is_same_month = (says.on.year, says.on.month) == (on.year, on.month)
    if says.precision == "day" and says.on == on:
        return SAME, "the same day"
    if says.precision == "month" and is_same_month:
        return SAME, "the same month, of which the sheet names no day"
    if is_same_month:
        return SAME_MONTH, _in_one_month(claim, on)
    if due.is_by_count:
        return DIFFERS, "reckoned by hours or cycles, which run out before the months do"
    return DIFFERS, _of_interval(claim, due) or _by_days(claim, on)


def _in_one_month(claim: Claim, on: date) -> str:
    if claim.start is not None and claim.start.precision != "day":
        return "month-only stamps: the end of the month here, another day in the sheet"
    if isinstance(claim.says, Stamp) and abs((on - claim.says.on).days) == 1:
        return ONE_DAY
    return "another day of the same month"


ONE_DAY = "one day apart: the day itself, or the day before it"


def _by_days(claim: Claim, on: date) -> str:
    assert isinstance(claim.says, Stamp)
    apart = (on - claim.says.on).days
    if abs(apart) == 1:
        return ONE_DAY
    way = "later" if apart > 0 else "earlier"
    if claim.start is None:
        return f"the sheet does not say from what it counts; reckoned {way}"
    return f"reckoned {way} than the sheet, and not by its interval"


def _of_interval(claim: Claim, due: Reckoned) -> str:
    """Where the sheet adds other months than the limit allows."""
    if claim.start is None or due.months is None or not isinstance(claim.says, Stamp):
        return ""
    months = months_between(claim.start, claim.says)
    if months is None or months == due.months:
        return ""
    return f"the sheet adds {months} months, the limit says {due.months}"
