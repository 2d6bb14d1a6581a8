"""The shared scale of dates: a day becomes a place across a drawing, in percent."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from fleet.words.said import MONTHS


def percent(value: float) -> str:
    """A place for an SVG attribute, never in a locale's own digits: ``33.3%``."""
    return f"{value:.4g}%" if abs(value) >= 0.005 else "0%"


def month_after(day: date, months: int = 1) -> date:
    """The first of the month so many months after the month of ``day``."""
    whole = day.year * 12 + day.month - 1 + months
    return date(whole // 12, whole % 12 + 1, 1)


@dataclass(frozen=True, slots=True)
class Mark:
    """One label of an axis, at ``x``; ``is_major`` begins a year."""

    x: str
    label: str
    is_major: bool = False


@dataclass(frozen=True, slots=True)
class Scale:
    """Days from ``from_on`` (0 %) to ``to_on`` (100 %)."""

    from_on: date
    to_on: date

    def place(self, day: date) -> float:
        """The percentage of a day, kept between 0 and 100."""
        whole = max((self.to_on - self.from_on).days, 1)
        return min(100.0, max(0.0, (day - self.from_on).days * 100.0 / whole))

    def x(self, day: date) -> str:
        return percent(self.place(day))

    def has(self, day: date) -> bool:
        return self.from_on <= day <= self.to_on

    def marks(self, most: int = 9) -> list[Mark]:
        """Months (or every third, sixth, twelfth ...) as there is room for at most ``most``."""
        months = (self.to_on.year - self.from_on.year) * 12 + self.to_on.month - self.from_on.month
        step = next(s for s in (1, 2, 3, 6, 12, 24, 60, 120, 240, 1200) if months / s <= most)
        first = month_after(self.from_on)
        while (first.year * 12 + first.month - 1) % step:
            first = month_after(first)
        found = []
        while first <= self.to_on:
            is_year = first.month == 1
            label = MONTHS[first.month - 1]
            if is_year:
                label = str(first.year) if step > 6 else f"{label} {first.year}"
            found.append(Mark(self.x(first), label, is_year))
            first = month_after(first, step)
        return found


def row_scale(today: date) -> Scale:
    """The one scale of all rows of a list, near enough to tell days apart: a month back, half a year
    ahead. The whole life is drawn where one item stands alone."""
    return Scale(today - timedelta(days=30), today + timedelta(days=183))
