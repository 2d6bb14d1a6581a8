"""What is short, family by family and month by month."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date

from scheduling.matching.facts.facts import Facts, Need, Supply


@dataclass(frozen=True, slots=True)
class Month:
    """One month of one family: ``needs`` that fall in it, how many of those are ``short``, units in store
    and ready as it begins (the running month: today), and units that become free later in it."""

    family: str
    month: date
    needs: int
    on_hand: int
    coming_back: int
    short: int


def months_of(facts: Facts, pairs: dict[str, str], *, as_of: date, until: date) -> list[Month]:
    """Each family's months from a day's to the horizon's last, the same for all, so that they can be read
    one below the other. A unit counts in every family in which some need takes its part, so one unit may
    stand in two families."""
    found = []
    for family in sorted({need.family for need in facts.needs}):
        needs = [need for need in facts.needs if need.family == family]
        freed = [
            unit.free_from
            for unit in _of_family(needs, facts.supplies)
            if unit.free_from is not None
        ]
        short = Counter(_first(need.on) for need in needs if need.key not in pairs)
        falls = Counter(_first(need.on) for need in needs)
        used = [need.on for need in needs if need.key in pairs]
        for month in _months(as_of, until):
            begins = max(month, as_of)
            ready = sum(day <= begins for day in freed) - sum(day < begins for day in used)
            later = sum(day > begins and _first(day) == month for day in freed)
            found.append(Month(family, month, falls[month], max(ready, 0), later, short[month]))
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
        and not unit.needs_decision
    ]


def _first(day: date) -> date:
    return day.replace(day=1)


def _months(as_of: date, until: date) -> list[date]:
    """Every month from the one to the other."""
    months, month = [], _first(as_of)
    while month <= until:
        months.append(month)
        month = date(month.year + month.month // 12, month.month % 12 + 1, 1)
    return months
