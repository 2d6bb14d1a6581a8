"""What the rules look at, read from the tables: a constant number of questions for any number of rows."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from django.db import connection

from equipment.ledger.arrays import array_of
from equipment.ledger.picture import (
    Chain,
    Identity,
    Key,
    Link,
    Picture,
    PlaceFacts,
    Span,
    UnitFacts,
)
from equipment.ledger.sql import HOLDING

PLACES = """
SELECT p.id, p.sort, p.holds, coalesce(o.merged_into_id, o.id), ap.aircraft_id, ap.type_position_id,
       p.part_position_id, coalesce(a.msn, ''), p.name, p.aircraft_position_id,
       coalesce(tp.kind_id, pp.kind_id), coalesce(k.name, ''), CASE WHEN l.status = 'left' THEN l.from_on END,
       a.registration, tp.code,
       pp.code, n.number, o.serial_number, s.code
FROM equipment_place p
LEFT JOIN fleet_aircraftposition ap ON ap.id = p.aircraft_position_id
LEFT JOIN fleet_aircraft a ON a.id = ap.aircraft_id
LEFT JOIN LATERAL (
    SELECT x.status, x.from_on FROM fleet_aircraftstatus x WHERE x.aircraft_id = a.id
    ORDER BY x.from_on DESC, x.id DESC LIMIT 1
) l ON true
LEFT JOIN fleet_typeposition tp ON tp.id = ap.type_position_id
LEFT JOIN equipment_partposition pp ON pp.id = p.part_position_id
LEFT JOIN fleet_kind k ON k.id = coalesce(tp.kind_id, pp.kind_id)
LEFT JOIN equipment_unit o ON o.id = p.parent_unit_id
LEFT JOIN equipment_partnumber n ON n.id = o.part_number_id
LEFT JOIN fleet_station s ON s.id = p.station_id
WHERE p.id = ANY(%(places)s::bigint[])
"""
# The places of the same positions inside units, made for other records of these.
SAME = """
SELECT s.id
FROM equipment_place p
JOIN equipment_unit o ON o.id = p.parent_unit_id
JOIN equipment_unit r ON coalesce(r.merged_into_id, r.id) = coalesce(o.merged_into_id, o.id)
JOIN equipment_place s ON s.parent_unit_id = r.id AND s.part_position_id = p.part_position_id
WHERE p.id = ANY(%(places)s::bigint[])
"""
UNITS = """
SELECT u.id, n.number, u.serial_number, u.original_part_id, u.part_number_id, coalesce(m.code, ''),
       u.manufactured_on, u.manufactured_precision, u.quantity
FROM equipment_unit u
JOIN equipment_partnumber n ON n.id = u.part_number_id
LEFT JOIN equipment_modificationstandard m ON m.id = u.standard_id
WHERE u.id = ANY(%(units)s::bigint[])
"""
IDENTITIES = """
SELECT i.unit_id, i.from_on, i.part_number_id, coalesce(m.code, '')
FROM equipment_identification i
LEFT JOIN equipment_modificationstandard m ON m.id = i.standard_id
WHERE i.unit_id = ANY(%(units)s::bigint[]) ORDER BY i.from_on
"""
STAY = """
SELECT s.unit_id, s.place_id, lower(s.valid), upper(s.valid),
       (m.happened_at AT TIME ZONE m.zone)::date, s.quantity
FROM equipment_stay s JOIN equipment_movement m ON m.id = s.begun_by_id
"""
OTHERS = f"""{STAY}
WHERE s.place_id = ANY(%(places)s::bigint[]) AND upper_inf(s.known)
  AND s.unit_id <> ALL(%(units)s::bigint[])
"""
# Those around the units of the call and further out: what a loop could lead through.
INSIDE = f"""
WITH RECURSIVE further AS (
    SELECT unnest(%(parents)s::bigint[]) AS id
    UNION
    SELECT coalesce(o.merged_into_id, o.id)
    FROM further f
    JOIN equipment_stay s ON s.unit_id = f.id AND upper_inf(s.known)
    JOIN equipment_place p ON p.id = s.place_id AND p.sort = 'inside'
    JOIN equipment_unit o ON o.id = p.parent_unit_id
)
{STAY} JOIN equipment_place p ON p.id = s.place_id AND p.sort = 'inside'
WHERE s.unit_id IN (SELECT id FROM further) AND upper_inf(s.known)
"""


def picture_of(units: Iterable[int], places: Iterable[int]) -> Picture:
    """All that the rules need of these units (as kept) and the places that a call leads to."""
    of_call = list(units)
    chains = {unit: Chain(unit) for unit in of_call}
    for row in ask(f"{HOLDING} ORDER BY happened_at, day_order, m.id", units=of_call):
        unit, movement, place, at, day_order, quantity, zone = row
        link = Link(Key(at, day_order, movement), place, _day(at, zone), quantity, movement)
        chains[unit].links.append(link)
    wanted = set(places) | {link.place_id for chain in chains.values() for link in chain.links}
    at_places = _place_facts(wanted)
    parents = {p.parent_unit_id for p in at_places.values() if p.parent_unit_id is not None}
    if parents:
        inner = [key for key, place in at_places.items() if place.parent_unit_id is not None]
        more = {key for (key,) in ask(SAME, places=inner)} - wanted
        at_places |= _place_facts(more) if more else {}
        wanted |= more
    others: dict[int, list[Span]] = defaultdict(list)
    # A store holds any number: who else is there is not asked.
    holding = [place for place in wanted if at_places[place].holds]
    for span in map(Span._make, ask(OTHERS, places=holding, units=of_call) if holding else []):
        others[span.place_id].append(span)
    inside: dict[int, list[Span]] = defaultdict(list)
    for span in map(Span._make, ask(INSIDE, parents=parents) if parents else []):
        inside[span.unit_id].append(span)
    further = {span.place_id for spans in inside.values() for span in spans} - wanted
    at_places |= _place_facts(further) if further else {}
    present = {span.unit_id for spans in others.values() for span in spans}
    return Picture(at_places, _unit_facts(present.union(of_call)), chains, others, inside)


def _place_facts(places: Iterable[int]) -> dict[int, PlaceFacts]:
    found = {}
    for row in ask(PLACES, places=places):
        key, sort, holds, *around, registration, position, inner, part, serial, station = row
        codes = registration, position, inner, part, serial, station
        parent, aircraft, type_position, part_position, msn, name, *of_position = around
        words = _place_words(sort, name, codes)
        found[key] = PlaceFacts(
            key,
            sort,
            words,
            holds,
            parent,
            aircraft,
            type_position,
            part_position,
            msn,
            name,
            *of_position,
        )
    return found


def _place_words(sort: str, name: str, codes: Sequence[str | None]) -> str:
    registration, position, inner, part, serial, station = codes
    if registration:
        return f"{registration} {position}"
    if inner:
        return f"{inner} in {part} S/N {serial}"
    kind = sort if sort in ("store", "quarantine", "shop") else ""
    return " ".join(word for word in (kind, station, name) if word) or sort


def _unit_facts(units: Iterable[int]) -> dict[int, UnitFacts]:
    identified: dict[int, list[Identity]] = defaultdict(list)
    wanted = list(units)
    for unit, from_on, part, standard in ask(IDENTITIES, units=wanted):
        identified[unit].append(Identity(from_on, part, standard))
    found = {}
    for row in ask(UNITS, units=wanted):
        key, number, serial, original, part, standard, made_on, precision, quantity = row
        later = identified.get(key, [])
        first = Identity(date.min, original if later else part, "" if later else standard)
        words = f"{number} S/N {serial}"
        found[key] = UnitFacts(key, words, (first, *later), made_on, precision, quantity)
    return found


def _day(at: datetime, zone: str) -> date:
    return at.astimezone(ZoneInfo(zone)).date()


def ask(sql: str, **keys: Iterable[int]) -> list[tuple[Any, ...]]:
    """The rows of a question about many things, their keys by the question's names for them."""
    values = {name: array_of(those) for name, those in keys.items()}
    with connection.cursor() as cursor:
        cursor.execute(sql, values)
        rows: list[tuple[Any, ...]] = cursor.fetchall()
    return rows
