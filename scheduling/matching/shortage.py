"""What is short, family by family and month by month."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from .facts import Facts, Need, Supply


@dataclass(frozen=True, slots=True)
class Month:
    """One month of one family: ``needs`` that fall in it, how many of those are ``short``, units in store
    and ready at its first day, and units that become free during it."""

    family: str
    month: date
    needs: int
    on_hand: int
    coming_back: int
    short: int


def months_of(facts: Facts, pairs: dict[str, str]) -> list[Month]:
    """Each family's months from the first that matters to the last need. A unit counts in every family
    in which some need takes its part, so one unit may stand in two families."""
    found = []
    for family in sorted({need.family for need in facts.needs}):
        needs = [need for need in facts.needs if need.family == family]
        units = _of_family(needs, facts.supplies)
        short = Counter(_first(need.on) for need in needs if need.key not in pairs)
        falls = Counter(_first(need.on) for need in needs)
        freed = Counter(_first(unit.free_from) for unit in units if unit.free_from)
        used = Counter(_first(need.on) for need in needs if need.key in pairs)
        for month in _span(falls):
            ready = _before(freed, month) - _before(used, month)
            counts = (falls[month], max(ready, 0), freed[month], short[month])
            found.append(Month(family, month, *counts))
    return found


def _of_family(needs: list[Need], supplies: tuple[Supply, ...]) -> list[Supply]:
    """Units that are good as they stand or will come so, of a part that some need of the family takes."""
    takes = {fit.part for need in needs for fit in need.fits}
    return [
        unit
        for unit in supplies
        if unit.part in takes
        and unit.is_serviceable
        and unit.has_certificate
        and not unit.is_quarantined
    ]


def _before(counted: Counter[date], month: date) -> int:
    return sum(many for day, many in counted.items() if day < month)


def _first(day: date) -> date:
    return day.replace(day=1)


def _span(counted: Iterable[date]) -> list[date]:
    """Every month from the first to the last, those without any too."""
    days = sorted(counted)
    months, month = [], days[0]
    while month <= days[-1]:
        months.append(month)
        month = date(month.year + month.month // 12, month.month % 12 + 1, 1)
    return months
