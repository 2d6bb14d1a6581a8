"""Places by their description: found, or made when they are first used."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from django.db import connection

from equipment.ledger.arrays import array_of
from equipment.ledger.facts import PlaceAt
from equipment.models import Place

# One statement for each sort of thing that a place belongs to. What is unknown makes no row.
# Not joined to the keys as a table: of new aircraft no numbers are known yet, and each would be
# compared with every other.
MAKE_ON_AIRCRAFT = """
INSERT INTO equipment_place (sort, aircraft_position_id, name, capacity)
SELECT 'aircraft', ap.id, '', tp.capacity
FROM fleet_aircraftposition ap
JOIN fleet_typeposition tp ON tp.id = ap.type_position_id
WHERE ap.id = ANY(%s::bigint[])
ORDER BY ap.id
ON CONFLICT DO NOTHING
"""
# The position must be one of a part that the unit is or was.
MAKE_INSIDE = """
INSERT INTO equipment_place (sort, parent_unit_id, part_position_id, name, capacity)
SELECT 'inside', u.id, pp.id, '', pp.capacity
FROM unnest(%s::bigint[], %s::bigint[]) AS wanted (unit_id, position_id)
JOIN equipment_unit u ON u.id = wanted.unit_id
JOIN equipment_partposition pp ON pp.id = wanted.position_id
WHERE pp.part_number_id IN (u.part_number_id, u.original_part_id) OR EXISTS (
    SELECT FROM equipment_identification i WHERE i.unit_id = u.id AND i.part_number_id = pp.part_number_id
)
ORDER BY u.id, pp.id
ON CONFLICT DO NOTHING
"""
MAKE_ELSEWHERE = """
INSERT INTO equipment_place (sort, station_id, name)
SELECT wanted.sort, wanted.station_id, wanted.name
FROM unnest(%s::text[], %s::bigint[], %s::text[]) AS wanted (sort, station_id, name)
WHERE wanted.station_id IS NULL OR EXISTS (SELECT FROM fleet_station s WHERE s.id = wanted.station_id)
ORDER BY 1, 2, 3
ON CONFLICT DO NOTHING
"""
# Each by an index of its own: a store's row is not looked for among a million positions. One inside a
# unit is the same under every record of the unit (a merge): of two in use before, the one that is taken.
DESCRIBED = "id, sort, aircraft_position_id, parent_unit_id, part_position_id, station_id, name"
FIND = f"""
SELECT {DESCRIBED} FROM equipment_place WHERE aircraft_position_id = ANY(%s::bigint[])
UNION ALL
SELECT {DESCRIBED} FROM (
    SELECT DISTINCT ON (wanted.id, p.part_position_id)
           p.id, p.sort, p.aircraft_position_id, wanted.id AS parent_unit_id, p.part_position_id,
           p.station_id, p.name
    FROM equipment_unit wanted
    JOIN equipment_unit o
      ON coalesce(o.merged_into_id, o.id) = coalesce(wanted.merged_into_id, wanted.id)
    JOIN equipment_place p ON p.parent_unit_id = o.id
    WHERE wanted.id = ANY(%s::bigint[])
    ORDER BY wanted.id, p.part_position_id,
             EXISTS (SELECT FROM equipment_unit u WHERE u.place_id = p.id) DESC, p.id
) one_of_each
UNION ALL
SELECT {DESCRIBED} FROM equipment_place
WHERE sort = ANY(%s::text[]) AND aircraft_position_id IS NULL AND parent_unit_id IS NULL
"""


def place_ids(places: Sequence[int | PlaceAt]) -> list[int | None]:
    """The key of each place, in order; None of one whose aircraft, unit or station is not known."""
    described = {place for place in places if isinstance(place, PlaceAt)}
    found = _found(described) if described else {}
    missing = [place for place in described if place not in found]
    if missing:
        _make(missing)
        found |= _found(set(missing))
    return [place if isinstance(place, int) else found.get(place) for place in places]


def _found(places: set[PlaceAt]) -> dict[PlaceAt, int]:
    with connection.cursor() as cursor:
        cursor.execute(
            FIND,
            [
                array_of(_known(p.aircraft_position_id for p in places)),
                array_of(_known(p.parent_unit_id for p in places)),
                # Those of aircraft and inside units are looked for by these alone.
                array_of(sorted({p.sort for p in places})),
            ],
        )
        rows = {PlaceAt(*described): key for key, *described in cursor.fetchall()}
    return {place: rows[place] for place in places if place in rows}


def _known(keys: Iterable[int | None]) -> list[int]:
    return [key for key in keys if key is not None]


def _make(places: Iterable[PlaceAt]) -> None:
    on_aircraft = [p for p in places if p.sort == Place.AIRCRAFT]
    inside = [p for p in places if p.sort == Place.INSIDE]
    elsewhere = [p for p in places if p.sort not in (Place.AIRCRAFT, Place.INSIDE)]
    with connection.cursor() as cursor:
        if on_aircraft:
            cursor.execute(
                MAKE_ON_AIRCRAFT, [array_of(p.aircraft_position_id for p in on_aircraft)]
            )
        if inside:
            cursor.execute(
                MAKE_INSIDE,
                [[p.parent_unit_id for p in inside], [p.part_position_id for p in inside]],
            )
        if elsewhere:
            cursor.execute(
                MAKE_ELSEWHERE,
                [
                    [p.sort for p in elsewhere],
                    [p.station_id for p in elsewhere],
                    [p.name for p in elsewhere],
                ],
            )
