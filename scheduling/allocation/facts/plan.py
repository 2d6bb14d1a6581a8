"""The planned checks of aircraft, and what is possible at each, as the allocation asks for them."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date

from fleet.aircraft.planned import planned_checks
from fleet.models import Aircraft, AircraftStatus, Check


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


@dataclass(frozen=True, slots=True)
class Returns:
    """The days from which aircraft that are or will be parked fly again, as far as they are recorded."""

    days: dict[int, list[date]]

    def after(self, aircraft_id: int, due_on: date) -> date | None:
        """The first return behind a due date; None where none is recorded."""
        return next((day for day in self.days.get(aircraft_id, []) if day > due_on), None)

    def aircraft(self) -> list[int]:
        return list(self.days)


def returns_from(as_of: date) -> Returns:
    """Every return to service that is recorded for a later day. One question."""
    found: dict[int, list[date]] = defaultdict(list)
    statuses = AircraftStatus.objects.filter(from_on__gt=as_of, replaced_by=None)
    statuses = statuses.exclude(status__in=(Aircraft.PARKED, Aircraft.LEFT))
    for aircraft, day in statuses.order_by("from_on", "pk").values_list("aircraft_id", "from_on"):
        found[aircraft].append(day)
    return Returns(dict(found))


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
