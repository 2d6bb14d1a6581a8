"""How sure a rate of random events is: the exact interval of a Poisson count over an exposure. Pure.

The limits of a mean of which n events were seen are half the quantiles of chi-square with 2n and 2n + 2 degrees of
freedom (Garwood 1936; NIST/SEMATECH e-Handbook of Statistical Methods, 8.4.5.1, for tests ended by time).
"""

from __future__ import annotations

from dataclasses import dataclass

from .scipy_parts import special

#: Nineteen of twenty such intervals hold the true rate.
SURE = 0.95


@dataclass(frozen=True, slots=True)
class Interval:
    """A number with the least and the most it may well be; ``high`` None: nothing bounds it."""

    least: float
    most: float | None


def mean_interval(events: int, sure: float = SURE) -> tuple[float, float]:
    """The least and the most mean under which so many events are not surprising, each side half of what is left.

    ValueError for a negative count, or a confidence that is not between 0 and 1.
    """
    if events < 0 or not 0 < sure < 1:
        raise ValueError("A count is nought or more, a confidence between 0 and 1.")
    beside = (1 - sure) / 2
    inverse = special().gammaincinv
    least = float(inverse(events, beside)) if events else 0.0
    return least, float(inverse(events + 1, 1 - beside))


def rate_interval(events: int, exposure: float, sure: float = SURE) -> Interval | None:
    """Events in each unit of exposure; None where nothing was exposed."""
    if exposure <= 0:
        return None
    least, most = mean_interval(events, sure)
    return Interval(least / exposure, most / exposure)


def between_interval(events: int, exposure: float, sure: float = SURE) -> Interval | None:
    """The mean exposure between events; without an event nothing bounds it above. None: nothing was exposed."""
    if exposure <= 0:
        return None
    least, most = mean_interval(events, sure)
    return Interval(exposure / most, exposure / least if least else None)
