"""An aircraft's checks on a time line, with how much falls due before each."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from fleet.words.said import weekday_words

from .time import Mark, Scale, month_after, percent

AXIS = 92  # where the months stand, from the top


@dataclass(frozen=True, slots=True)
class PlannedCheck:
    """One ground time: ``due_before`` items run out before it begins and after the one before,
    ``due_at`` items last until it but not until the next."""

    name: str
    starts_on: date
    ends_on: date
    station: str = ""
    is_overnight: bool = False
    due_before: int = 0
    due_at: int = 0
    href: str = ""


@dataclass(frozen=True, slots=True)
class DrawnCheck:
    """A check placed: from ``x`` over ``width`` percent; ``lane`` keeps labels apart, ``flag`` is
    where its label stands (``is_left``: to the left of that)."""

    check: PlannedCheck
    x: str
    width: str
    lane: int
    words: str
    flag: str
    is_left: bool

    @property
    def top(self) -> int:
        """An overnight stop stands low and has no label: there are many, and the list names them."""
        return 78 if self.check.is_overnight else (6, 50)[self.lane]

    @property
    def tall(self) -> int:
        return AXIS - self.top


@dataclass(frozen=True, slots=True)
class CheckLine:
    """The drawing: checks, month axis, today."""

    checks: tuple[DrawnCheck, ...]
    marks: tuple[Mark, ...]
    now: str
    today: date


def check_line(checks: list[PlannedCheck], today: date, months: int = 15) -> CheckLine:
    """Places the checks of the coming ``months`` (and any that runs today) on one line."""
    scale = Scale(month_after(today, 0), month_after(today, months + 1))
    found: list[DrawnCheck] = []
    free_from = [-100.0, -100.0]
    for check in sorted(checks, key=lambda c: (c.starts_on, c.name)):
        if check.ends_on < scale.from_on or check.starts_on > scale.to_on:
            continue
        place = scale.place(check.starts_on)
        lane = 0 if place >= free_from[0] else 1
        if not check.is_overnight:
            free_from[lane] = place + 13
        end = max(scale.place(check.ends_on), place + 0.35)
        is_left = place > 86
        flag = percent(place if is_left else end)
        found.append(
            DrawnCheck(
                check, percent(place), percent(end - place), lane, words_of(check), flag, is_left
            )
        )
    return CheckLine(tuple(found), tuple(scale.marks(16)), scale.x(today), today)


def words_of(check: PlannedCheck) -> str:
    """``Check C3, Wed 3 Mar 2027 to Fri 5 Mar 2027 at NRV: 2 due before it, 7 to do at it.``"""
    sort = "Overnight stop" if check.is_overnight else "Check"
    at = f" at {check.station}" if check.station else ""
    span = weekday_words(check.starts_on)
    if check.ends_on != check.starts_on:
        span += f" to {weekday_words(check.ends_on)}"
    return f"{sort} {check.name}, {span}{at}: {check.due_before} due before it, {check.due_at} to do at it."
