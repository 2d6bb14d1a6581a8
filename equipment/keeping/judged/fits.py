"""What is listed for the positions that units go to, and what is across from them, read from the tables."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable

from equipment.ledger.facts import PlaceAt
from equipment.ledger.picture import FitFacts, Picture, PlaceFacts, StateFacts

from .picture import ask

FITS = """
SELECT type_position_id, part_position_id, part_number_id, msn_from, msn_to, standards,
       condition = 'both_sides_same', document
FROM equipment_fit
WHERE type_position_id = ANY(%(type_positions)s::bigint[]) OR part_position_id = ANY(%(part_positions)s::bigint[])
"""
ALTERNATES = """
SELECT alternate_id, part_number_id FROM equipment_alternate WHERE alternate_id = ANY(%(parts)s::bigint[])
UNION
SELECT part_number_id, alternate_id FROM equipment_alternate
WHERE is_two_way AND part_number_id = ANY(%(parts)s::bigint[])
"""
STATES = """
SELECT position_id, from_on, state, document FROM fleet_positionstate
WHERE position_id = ANY(%(positions)s::bigint[]) ORDER BY from_on
"""
KINDS = """
SELECT n.id, k.id, k.name FROM equipment_partnumber n JOIN fleet_kind k ON k.id = n.kind_id
WHERE n.id = ANY(%(parts)s::bigint[])
"""
# Of the layout's positions of the same kind on the other side, the nearest, if this one is its
# nearest too: where one side has a door more, nothing is across from it.
MIRRORS = """
WITH here AS MATERIALIZED (
    SELECT ap.id, ap.aircraft_id, ap.type_position_id FROM fleet_aircraftposition ap
    WHERE ap.id IN (
        SELECT unnest(%(positions)s::bigint[])
        UNION SELECT aircraft_position_id FROM equipment_place WHERE id = ANY(%(places)s::bigint[])
    )
), asked AS MATERIALIZED (
    SELECT t.* FROM fleet_typeposition t
    WHERE t.id IN (SELECT type_position_id FROM here) AND t.side IN ('left', 'right') AND EXISTS (
        SELECT FROM equipment_fit f WHERE f.type_position_id = t.id AND f.condition = 'both_sides_same'
    )
), mirrored AS MATERIALIZED (
    SELECT a.id, o.id AS across_id
    FROM asked a CROSS JOIN LATERAL (
        SELECT t.* FROM fleet_typeposition t
        WHERE t.aircraft_type_id = a.aircraft_type_id AND t.kind_id = a.kind_id
          AND t.side IN ('left', 'right') AND t.side <> a.side
        ORDER BY abs(t.x_cm - a.x_cm), abs(t.y_cm + a.y_cm), t.id LIMIT 1
    ) o
    WHERE a.id = (
        SELECT t.id FROM fleet_typeposition t
        WHERE t.aircraft_type_id = a.aircraft_type_id AND t.kind_id = a.kind_id AND t.side = a.side
        ORDER BY abs(t.x_cm - o.x_cm), abs(t.y_cm + o.y_cm), t.id LIMIT 1
    )
)
SELECT h.id, ap.id
FROM here h JOIN mirrored m ON m.id = h.type_position_id
JOIN fleet_aircraftposition ap ON ap.aircraft_id = h.aircraft_id AND ap.type_position_id = m.across_id
"""


def mirrors_of(places: Iterable[int | PlaceAt]) -> dict[int, int]:
    """Aircraft position -> the one across from it, of those where both sides must be the same."""
    wanted = list(places)
    if not wanted:
        return {}
    positions = [place.aircraft_position_id for place in wanted if isinstance(place, PlaceAt)]
    return dict(
        ask(
            MIRRORS,
            positions=[position for position in positions if position is not None],
            places=[place for place in wanted if isinstance(place, int)],
        )
    )


def add_fits(picture: Picture, places: Iterable[int]) -> None:
    """This will add what is listed for the positions that units are installed at, and their states."""
    here = [picture.places[place] for place in set(places)]
    picture.fits = _fits(here)
    parts = {each.part_id for unit in picture.units.values() for each in unit.identities}
    standing_for: dict[int, set[int]] = defaultdict(set)
    for part, other in ask(ALTERNATES, parts=parts):
        standing_for[part].add(other)
    picture.alternates = {part: frozenset(others) for part, others in standing_for.items()}
    states: dict[int, list[StateFacts]] = defaultdict(list)
    positions = [p.aircraft_position_id for p in here if p.aircraft_position_id is not None]
    for position, *state in ask(STATES, positions=positions):
        states[position].append(StateFacts(*state))
    picture.states = dict(states)
    if any((p.type_position_id, p.part_position_id) not in picture.fits for p in here):
        rows = ask(KINDS, parts=list(parts))
        picture.kinds = {part: (kind, name) for part, kind, name in rows}


def _fits(here: Iterable[PlaceFacts]) -> dict[tuple[int | None, int | None], list[FitFacts]]:
    rows = ask(
        FITS,
        type_positions=list({p.type_position_id for p in here if p.type_position_id is not None}),
        part_positions=list({p.part_position_id for p in here if p.part_position_id is not None}),
    )
    fits: dict[tuple[int | None, int | None], list[FitFacts]] = defaultdict(list)
    for type_position, part_position, part, msn_from, msn_to, standards, *more in rows:
        listed = FitFacts(part, msn_from, msn_to, tuple(json.loads(standards)), *more)
        fits[type_position, part_position].append(listed)
    return dict(fits)
