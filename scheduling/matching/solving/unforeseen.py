"""Spares for removals that nobody can foresee: Palm's theorem, and only that.

When removals come at random at a rate and each unit is away for a turn time, the number away is Poisson
distributed with their product as its mean, whatever the turn times' own spread. This says how often a
number of spares will do; it proves nothing about a plan, and the plan's :mod:`float_size` says nothing
about chance. The two numbers are shown beside each other, and their sum with both its parts.
"""

from __future__ import annotations

from dataclasses import dataclass

from .scipy_parts import special

MOST = 10_000


@dataclass(frozen=True, slots=True)
class Cover:
    """What a number of spares does: ``fill_rate`` is the share of removals that find one on the shelf,
    ``ready_rate`` the share of time in which nobody waits, ``waiting`` the mean number that wait."""

    spares: int
    fill_rate: float
    ready_rate: float
    waiting: float


def mean_away(removals_a_year: float, turn_days: float, days_a_year: float = 365.0) -> float:
    """The mean number of units away. Refuses negative numbers with ValueError."""
    if removals_a_year < 0 or turn_days < 0:
        raise ValueError("A rate and a turn time are nought or more.")
    return removals_a_year * turn_days / days_a_year


def cover_of(mean: float, spares: int) -> Cover:
    """What so many spares do against so many away on average."""
    pdtr, pdtrc = special().pdtr, special().pdtrc
    if spares == 0:
        return Cover(0, 0.0, float(pdtr(0, mean)), mean)
    # With x p(x) = mean p(x - 1), the mean of what exceeds the spares is a difference of two tails.
    waiting = mean * float(pdtrc(spares - 1, mean)) - spares * float(pdtrc(spares, mean))
    fill, ready = float(pdtr(spares - 1, mean)), float(pdtr(spares, mean))
    return Cover(spares, fill, ready, max(waiting, 0.0))


def spares_for(mean: float, fill_rate: float) -> Cover:
    """The fewest spares with at least this fill rate. Refuses with ValueError a rate that is not below 1, or that
    needs more than ten thousand."""
    if not 0 <= fill_rate < 1:
        raise ValueError(
            "A fill rate is at least 0 and below 1: all removals can never be promised."
        )
    low, high = 0, 1
    while high <= MOST and cover_of(mean, high).fill_rate < fill_rate:
        low, high = high, high * 2
    if high > MOST:
        raise ValueError(
            "That takes more than ten thousand spares: look at the rate and turn time."
        )
    if fill_rate == 0:
        return cover_of(mean, 0)
    while high - low > 1:
        middle = (low + high) // 2
        if cover_of(mean, middle).fill_rate < fill_rate:
            low = middle
        else:
            high = middle
    return cover_of(mean, high)
