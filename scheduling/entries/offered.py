"""What is on record and may be meant in a field: offered below it, so that nobody need know a code."""

from __future__ import annotations

import zoneinfo
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from equipment.models import Maker, PartNumber
from fleet.models import Aircraft, AircraftType, Kind, Measure, Station, TypePosition
from scheduling.models import Programme, Work

MOST = 500


def _column(model: Any, name: str) -> Callable[[], Sequence[str]]:
    return lambda: list(model.objects.order_by(name).values_list(name, flat=True).distinct()[:MOST])


STATIONS = _column(Station, "code")
TYPES = _column(AircraftType, "code")
KINDS = _column(Kind, "code")
AIRCRAFT = _column(Aircraft, "registration")
MAKERS = _column(Maker, "code")
PARTS = _column(PartNumber, "number")
MEASURES = _column(Measure, "code")
POSITIONS = _column(TypePosition, "code")
WORKS = _column(Work, "code")
PROGRAMMES = _column(Programme, "code")


def zones() -> Sequence[str]:
    return sorted(zoneinfo.available_timezones())


#: By field of a sheet's line.
OFFERED: Mapping[str, Callable[[], Sequence[str]]] = {
    "station": STATIONS,
    "aircraft_type": TYPES,
    "kind": KINDS,
    "aircraft": AIRCRAFT,
    "maker": MAKERS,
    "inside_maker": MAKERS,
    "part": PARTS,
    "inside_part": PARTS,
    "position": POSITIONS,
    "measure": MEASURES,
    "work": WORKS,
    "programme": PROGRAMMES,
    "time_zone": zones,
}
