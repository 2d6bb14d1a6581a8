"""The place and the moment that a line of movements names."""

from __future__ import annotations

from dataclasses import dataclass

from equipment.common import lookups
from equipment.ledger.facts import PlaceAt, When
from equipment.models import Place, Unit
from fleet.house.pages import zone as zone_of_today
from fleet.intake.stamps import Stamp
from fleet.loading import lookups as fleet_lookups
from fleet.loading.batch import Batch
from fleet.loading.totals import in_utc


@dataclass(frozen=True, slots=True)
class Places:
    """What each line names of a place, by line."""

    aircraft: list[int | None]
    positions: list[int | None]
    parents: list[int | None]
    inside: list[int | None]
    stations: list[int | None]


def places_of(batch: Batch) -> Places:
    aircraft = fleet_lookups.aircraft(batch)
    parents = lookups.units(batch, "parent_")
    outer = _parts_around(batch, parents)
    return Places(
        aircraft=aircraft,
        positions=fleet_lookups.aircraft_positions(batch, aircraft),
        parents=parents,
        inside=lookups.part_positions(batch, outer, "position"),
        stations=fleet_lookups.stations(batch),
    )


def _parts_around(batch: Batch, parents: list[int | None]) -> list[int | None]:
    """The part number of each line's parent that has the position named: what it is, or was."""
    rows = Unit.objects.filter(pk__in={parent for parent in parents if parent is not None})
    of_parent = {
        key: parts for key, *parts in rows.values_list("pk", "part_number_id", "original_part_id")
    }
    known = lookups.all_part_positions(batch)
    outer: list[int | None] = []
    for parent, code in zip(parents, batch["position"], strict=True):
        parts = of_parent.get(parent or 0, [None])
        outer.append(next((part for part in parts if (part, code) in known), parts[0]))
    return outer


def place_of(batch: Batch, places: Places, line: int) -> PlaceAt | None:
    """The place that a line names, or None after refusing it for what it lacks."""
    sort, name = batch["to"][line], batch["name"][line] or ""
    position, parent, inside = places.positions[line], places.parents[line], places.inside[line]
    station = places.stations[line]
    found: tuple[PlaceAt | None, str, str]
    if sort == Place.AIRCRAFT:
        place = PlaceAt(sort, aircraft_position_id=position) if position else None
        found = place, "position", "Give the aircraft and its position."
    elif sort == Place.INSIDE:
        place = PlaceAt(sort, parent_unit_id=parent, part_position_id=inside) if inside else None
        found = place, "position", "Give the unit around it (parent) and the position inside it."
    elif sort in {Place.STORE, Place.QUARANTINE}:
        found = (
            PlaceAt(sort, station_id=station, name=name) if station else None,
            "station",
            "Give the station.",
        )
    else:
        found = (
            PlaceAt(sort, station_id=station, name=name) if name or station else None,
            "name",
            "Give the name.",
        )
    if found[0] is None:
        batch.refuse(line, found[1], "place_not_named", f"The place is not named whole. {found[2]}")
    return found[0]


def zone_of(batch: Batch, places: Places, line: int) -> str:
    station, craft = places.stations[line], places.aircraft[line]
    if station is not None:
        return fleet_lookups.zones_of_stations(batch)[station]
    if craft is not None:
        return fleet_lookups.zones_of_aircraft(batch)[craft]
    return str(zone_of_today())


def when_of(stamp: Stamp, zone: str) -> When:
    """When something happened, with the precision given; a day alone is its start in ``zone``."""
    return When(in_utc(stamp, zone), stamp.precision, "UTC" if stamp.is_utc else zone)
