"""The planned checks of aircraft, and what is possible at each, as the allocation asks for them."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date

from fleet.aircraft.planned import planned_checks
from fleet.models import Check


@dataclass(frozen=True, slots=True)
class Stop:
    """A check or overnight stop still to come. ``able``: codes of works possible there, empty: all."""

    id: int
    name: str
    starts_on: date
    station: str
    able: frozenset[str]

    def can_do(self, works: frozenset[str]) -> bool:
        return not self.able or works <= self.able


def stops_from(as_of: date) -> dict[int, tuple[Stop, ...]]:
    """Each aircraft's stops that have not ended by a day, in their order. One question.

    What a stop can do is what it lists, or overnight what its station lists: as the due engine has it.
    """
    found: dict[int, list[Stop]] = defaultdict(list)
    checks = planned_checks().filter(ends_on__gte=as_of)
    for row in checks.select_related("station").order_by("aircraft", "starts_on", "pk"):
        of_station = row.station.abilities if row.sort == Check.OVERNIGHT else []
        able = frozenset(row.abilities or of_station)
        stop = Stop(row.pk, row.name, max(row.starts_on, as_of), row.station.code, able)
        found[row.aircraft_id].append(stop)
    return {aircraft: tuple(stops) for aircraft, stops in found.items()}
