"""How long a unit lasts where it would be fitted: by its days, and by the hours, cycles and further measures
that it has left at the rate of that aircraft. For one pair in words, and its twin in columns.

As in the due engine: from the day of the fitting, days rounded down; an aircraft that does not fly makes no
day of hours or cycles, and one that comes a century later is none.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import numpy as np

from fleet.words.said import count_words, day_words, hours_words

from .book import NO_END
from .columns import FAR, UNKNOWN, Columns
from .facts import Left, Need, Rate, Supply

DAY_SECONDS = 86_400
CENTURY = 36_525


def lasts_at(need: Need, supply: Supply) -> date | None:
    """The last good day of a unit once it is fitted there; None where that is not known."""
    if supply.lasts_until is None:
        return None
    ends = [_end(need, left) for left in supply.left]
    return min([supply.lasts_until, *(end for end in ends if end is not None)])


def left_words(need: Need, supply: Supply) -> tuple[str, ...]:
    """What it has left of each measure, and which day the aircraft's rate makes of it."""
    return tuple(_said(need, left) for left in supply.left)


def _rate(need: Need, left: Left) -> Rate | None:
    return next((one for one in need.rates if one.measure == left.measure and one.gain > 0), None)


def _end(need: Need, left: Left) -> date | None:
    rate = _rate(need, left)
    if rate is None:
        return None
    days = left.amount * rate.seconds // (rate.gain * DAY_SECONDS)
    return need.on + timedelta(days=days) if days < CENTURY else None


def _said(need: Need, left: Left) -> str:
    words = hours_words if left.is_hours else count_words
    amount = f"{words(left.amount)} {left.measure} remaining"
    rate, end = _rate(need, left), _end(need, left)
    if rate is None:
        return f"It has {amount}; the aircraft has no rate of use, so no day follows from them."
    a_day = rate.gain * DAY_SECONDS / rate.seconds / (60 if left.is_hours else 1)
    until = f"until about {day_words(end)}" if end else "for more than a century"
    return (
        f"It has {amount}: at {a_day:.2f} {left.measure} a day, the rate of this aircraft,"
        f" that lasts from {day_words(need.on)} {until}."
    )


def last_days(columns: Columns, need: Any, supply: Any) -> Any:
    """The twin of ``lasts_at`` for rows of needs and supplies, as ordinals."""
    lasts, related = columns.supplies.lasts_until[supply], columns.related
    for measure in range(related.left.shape[1]):
        amount = related.left[columns.supplies.left[supply], measure]
        rates = columns.needs.rates[need]
        gain = related.gain[rates, measure]
        days = amount * related.seconds[rates, measure] // (np.maximum(gain, 1) * DAY_SECONDS)
        ends = (amount != NO_END) & (gain > 0) & (days < CENTURY)
        end = np.where(ends, columns.needs.on[need] + days, FAR)
        lasts = np.where(lasts == UNKNOWN, UNKNOWN, np.minimum(lasts, end))
    return lasts
