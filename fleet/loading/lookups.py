"""What lines name, by the name that they use: one query for each table and load."""

from __future__ import annotations

from typing import Any

from fleet.loading.batch import Batch
from fleet.models import (
    Aircraft,
    AircraftPosition,
    AircraftType,
    Kind,
    Measure,
    Station,
    TypePosition,
)


def _codes(batch: Batch, name: str, model: Any, field: str) -> dict[str, int]:
    return batch.bringing.looked_up(
        name, lambda: {code.upper(): key for code, key in model.objects.values_list(field, "pk")}
    )


def stations(batch: Batch, field: str = "station") -> list[int | None]:
    return batch.found(field, _codes(batch, "stations", Station, "code"), "station")


def kinds(batch: Batch, field: str = "kind") -> list[int | None]:
    return batch.found(field, _codes(batch, "kinds", Kind, "code"), "kind")


def types(batch: Batch, field: str = "aircraft_type") -> list[int | None]:
    return batch.found(field, _codes(batch, "types", AircraftType, "code"), "aircraft type")


def aircraft(batch: Batch, field: str = "aircraft") -> list[int | None]:
    return batch.found(field, _codes(batch, "aircraft", Aircraft, "registration"), "aircraft")


def measures(batch: Batch, field: str = "measure") -> list[int | None]:
    return batch.found(field, _codes(batch, "measures", Measure, "code"), "measure")


def codes_of_types(batch: Batch) -> dict[str, int]:
    return _codes(batch, "types", AircraftType, "code")


def codes_of_kinds(batch: Batch) -> dict[str, int]:
    return _codes(batch, "kinds", Kind, "code")


def measures_by_code(batch: Batch) -> dict[str, int]:
    return _codes(batch, "measures", Measure, "code")


def units_of_measures(batch: Batch) -> dict[int, str]:
    """Minutes or count, by the measure's key."""
    return batch.bringing.looked_up(
        "units of measures", lambda: dict(Measure.objects.values_list("pk", "unit"))
    )


def zones_of_stations(batch: Batch) -> dict[int, str]:
    return batch.bringing.looked_up(
        "zones of stations", lambda: dict(Station.objects.values_list("pk", "time_zone"))
    )


def zones_of_aircraft(batch: Batch) -> dict[int, str]:
    """The zone of each aircraft's station, by the aircraft's key."""
    return batch.bringing.looked_up(
        "zones of aircraft", lambda: dict(Aircraft.objects.values_list("pk", "station__time_zone"))
    )


def type_positions(
    batch: Batch, type_ids: list[int | None], field: str = "position"
) -> list[int | None]:
    """Positions of a layout, by type and code."""
    known = batch.bringing.looked_up(
        "type positions",
        lambda: {
            (type_id, code.upper()): key
            for type_id, code, key in TypePosition.objects.values_list(
                "aircraft_type_id", "code", "pk"
            )
        },
    )
    return _inside(batch, field, type_ids, known, "position", of="of this aircraft type")


def aircraft_positions(
    batch: Batch, aircraft_ids: list[int | None], field: str = "position"
) -> list[int | None]:
    """Positions of an aircraft, by aircraft and code."""
    known = batch.bringing.looked_up(
        "aircraft positions",
        lambda: {
            (aircraft_id, code.upper()): key
            for aircraft_id, code, key in AircraftPosition.objects.values_list(
                "aircraft_id", "type_position__code", "pk"
            )
        },
    )
    return _inside(batch, field, aircraft_ids, known, "position", of="of this aircraft")


def _inside(
    batch: Batch,
    field: str,
    outer: list[int | None],
    known: dict[tuple[int, str], int],
    what: str,
    *,
    of: str,
) -> list[int | None]:
    found: list[int | None] = []
    for line, (outer_id, code) in enumerate(zip(outer, batch[field], strict=True)):
        key = known.get((outer_id, code)) if outer_id is not None and code is not None else None
        if key is None and outer_id is not None and code is not None and batch.is_good(line):
            names = [name for its, name in known if its == outer_id]
            batch.refuse_unknown(line, field, code, names, what, of=of)
        found.append(key)
    return found
