"""Use of an aircraft month by month, as bars."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from fleet.words.said import MONTHS, month_words

from .time import percent


@dataclass(frozen=True, slots=True)
class Bar:
    """One month: ``height`` and ``y`` in percent from the top, ``value`` as said."""

    x: str
    width: str
    y: str
    height: str
    label: str
    value: str
    words: str
    middle: str


@dataclass(frozen=True, slots=True)
class Chart:
    bars: tuple[Bar, ...]
    most: str
    words: str


def chart(months: list[tuple[date, float]], unit: str, decimals: int = 0) -> Chart:
    """Bars for (first of month, amount) pairs in order; ``unit`` is said with each amount.

    Every third month from the last is labelled, and a year where it begins.
    """
    top = max([amount for _, amount in months], default=0.0) or 1.0
    step = 100.0 / max(len(months), 1)
    bars = []
    for index, (month, amount) in enumerate(months):
        tall = max(amount, 0.0) * 100.0 / top
        value = f"{amount:.{decimals}f}"
        bars.append(
            Bar(
                x=percent(index * step + step * 0.16),
                width=percent(step * 0.68),
                y=percent(100 - tall),
                height=percent(tall),
                label=_label(month, len(months) - 1 - index),
                value=value,
                words=f"{month_words(month)}: {value} {unit}",
                middle=percent(index * step + step / 2),
            )
        )
    return Chart(tuple(bars), f"{top:.{decimals}f} {unit}", _words(months, unit, decimals))


def _label(month: date, from_last: int) -> str:
    if from_last % 3:
        return ""
    return f"{MONTHS[month.month - 1]} {month.year % 100:02d}"


def _words(months: list[tuple[date, float]], unit: str, decimals: int) -> str:
    if not months:
        return f"No {unit} recorded."
    amounts = [amount for _, amount in months]
    mean = sum(amounts) / len(amounts)
    first, last = month_words(months[0][0]), month_words(months[-1][0])
    return f"{first} to {last}: {mean:.{decimals}f} {unit} a month on average."
