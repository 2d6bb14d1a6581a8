"""The life line: one due item from its start to its limit, filled up to today.

The line says whether the item lasts until the aircraft's next check before any word is read.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from fleet.words.said import day_words, days_words, left_words

from .time import Mark, Scale, percent

Check = tuple[date, str]


@dataclass(frozen=True, slots=True)
class LifeLine:
    """One line to draw.

    ``start_on`` may be unknown (the line then comes from the left edge); ``due_on`` is the last
    day of the limit, or None with ``worst_on`` the earliest it could be. ``until_on`` is the last
    day of a permitted variation or extension, if it reaches beyond ``due_on``. ``checks`` are the
    aircraft's planned ground times (first day, name). ``label`` names the work or clock.
    ``is_spent``: past its limit on a day that nobody can name (an hour meter).
    """

    today: date
    label: str
    start_on: date | None = None
    due_on: date | None = None
    worst_on: date | None = None
    until_on: date | None = None
    checks: tuple[Check, ...] = ()
    detail: str = ""
    is_spent: bool = False

    @property
    def ends_on(self) -> date | None:
        return self.due_on or self.worst_on or (self.today if self.is_spent else None)

    @property
    def is_over(self) -> bool:
        return self.due_on < self.today if self.due_on else self.is_spent

    @property
    def is_known(self) -> bool:
        return self.due_on is not None or self.is_spent


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of the line, in percent: from ``x1`` to ``x2``."""

    x1: str
    x2: str


@dataclass(frozen=True, slots=True)
class DrawnLine:
    """A life line placed on a scale: only strings for attributes, and its words."""

    words: str
    now: str
    used: Span | None
    left: Span | None
    over: Span | None
    allowance: Span | None
    gap: Span | None
    end: str
    ticks: tuple[Mark, ...]
    comes_from_before: bool
    goes_on_after: bool
    is_known: bool
    is_over: bool
    label: str
    detail: str
    ends_on: date | None


def drawn(line: LifeLine, scale: Scale) -> DrawnLine:
    """Places a line on a scale. What lies outside the scale is cut, and its open end is said."""
    start = line.start_on or scale.from_on
    end = line.ends_on
    ends = end or scale.to_on
    return DrawnLine(
        words=words_of(line),
        now=scale.x(line.today),
        used=_span(scale, start, min(ends, line.today)),
        left=_span(scale, max(start, line.today), ends),
        over=_span(scale, ends, line.today) if line.is_over else None,
        allowance=_span(scale, ends, line.until_on) if end and line.until_on else None,
        gap=_gap(line, scale),
        end=scale.x(end) if end and scale.has(end) else "",
        ticks=tuple(
            Mark(scale.x(on), name)
            for on, name in line.checks
            if on >= line.today and scale.has(on)
        ),
        comes_from_before=start < scale.from_on,
        goes_on_after=ends > scale.to_on,
        is_known=line.is_known,
        is_over=line.is_over,
        label=line.label,
        detail=line.detail,
        ends_on=end,
    )


def _gap(line: LifeLine, scale: Scale) -> Span | None:
    """From an end that comes before the aircraft's next check, to that check: what the plan leaves open."""
    coming = min((on for on, _ in line.checks if on >= line.today), default=None)
    if line.ends_on is None or coming is None or coming <= line.ends_on:
        return None
    return _span(scale, max(line.ends_on, line.today), coming)


def _span(scale: Scale, first: date, last: date) -> Span | None:
    """A stretch, or None where nothing of it is on the scale."""
    if last <= first or last < scale.from_on or first > scale.to_on:
        return None
    return Span(scale.x(first), scale.x(last))


def words_of(line: LifeLine) -> str:
    """The same for those who cannot see it: from when to when, what is left, which check."""
    parts = [line.label + ":"]
    if line.start_on:
        parts.append(f"from {day_words(line.start_on)}")
    if line.due_on:
        parts.append(f"to {day_words(line.due_on)}, {left_words((line.due_on - line.today).days)}")
    elif line.is_spent:
        parts.append("past its limit")
    elif line.worst_on:
        parts.append(f"data missing; it ends no later than {day_words(line.worst_on)}")
    else:
        parts.append("no date")
    return " ".join(parts) + _check_words(line) + "."


def _check_words(line: LifeLine) -> str:
    """Where the end lies against the aircraft's next check."""
    coming = [check for check in line.checks if check[0] >= line.today]
    if not coming or line.ends_on is None or line.is_over:
        return ""
    on, name = coming[0]
    gap = (line.ends_on - on).days
    if gap < 0:
        return f"; ends {days_words(-gap)} before check {name} on {day_words(on)}"
    return f"; lasts until check {name} on {day_words(on)}"


@dataclass(frozen=True, slots=True)
class Sheet:
    """Several lines on one scale of their own, with its axis: an explanation, a unit, a check."""

    lines: tuple[DrawnLine, ...]
    marks: tuple[Mark, ...]
    ticks: tuple[Mark, ...]
    now: str
    today: date


def sheet(lines: list[LifeLine], today: date) -> Sheet:
    """Draws lines one below the other, in the order given (the clock that decides first).

    The scale reaches from the earliest start to past the last end, and never less than from a
    month before today to three months after it.
    """
    scale = _scale_around(lines, today)
    checks = sorted({check for line in lines for check in line.checks})
    ticks = tuple(_named_ticks([check for check in checks if check[0] >= today], scale))
    drawn_lines = tuple(drawn(line, scale) for line in lines)
    return Sheet(drawn_lines, tuple(scale.marks()), ticks, scale.x(today), today)


def _named_ticks(checks: list[Check], scale: Scale) -> list[Mark]:
    """The checks whose names do not run into the one before."""
    found: list[Mark] = []
    free_from = 0.0
    for on, name in checks:
        if scale.has(on) and scale.place(on) >= free_from:
            found.append(Mark(scale.x(on), name))
            free_from = scale.place(on) + 2.5 + len(name)
    return found


def _scale_around(lines: list[LifeLine], today: date) -> Scale:
    starts = [line.start_on for line in lines if line.start_on]
    ends = [day for line in lines for day in (line.ends_on, line.until_on) if day]
    first = min([*starts, today - timedelta(days=30)])
    last = max([*ends, today + timedelta(days=92)])
    room = timedelta(days=max((last - first).days // 25, 10))
    return Scale(first, last + room)


__all__ = [
    "Check",
    "DrawnLine",
    "LifeLine",
    "Sheet",
    "Span",
    "drawn",
    "percent",
    "sheet",
    "words_of",
]
