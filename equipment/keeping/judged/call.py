"""One call's rows, read: which units and places they mean, and what is held while they are judged."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from equipment.keeping.locks import lock
from equipment.keeping.places import place_ids
from equipment.ledger.facts import MovementFact, PlaceAt, RowsRefused
from fleet.house.refusals import Refusal

from .chains import Chains, chains_of, positions_ever_held
from .fits import mirrors_of
from .shape import kept_units, places_by_id, why_not_shaped

Act = tuple[UUID, int]


@dataclass(slots=True)
class Call:
    """One call's rows, with the units (as kept) and places that they mean."""

    rows: Sequence[MovementFact]
    act_id: UUID
    units: list[int]
    places: list[int]
    #: of these, those that hold so many and no more
    positions: set[int]
    parents: set[int]
    #: aircraft position that a unit is installed at -> the place across from it, if that matters
    mirrors: dict[int, int]

    def act_of(self, row: int) -> Act:
        return self.rows[row].act_id or self.act_id, self.units[row]

    def corrected(self, rows: Iterable[int]) -> Chains:
        named = (self.rows[row].corrects for row in rows)
        return chains_of(movement for movement in named if movement is not None)


def call_of(rows: Sequence[MovementFact], act_id: UUID, at: datetime) -> Call:
    units = kept_units(row.unit_id for row in rows)
    places, mirrors = _places_of(rows)
    where = places_by_id(place for place in places if place is not None)
    wrong = {
        index: why_not_shaped(row, where.get(place or 0), is_unit_known=row.unit_id in units, at=at)
        for index, (row, place) in enumerate(zip(rows, places, strict=True))
    }
    if any(wrong.values()):
        raise RowsRefused(wrong)
    call = Call(
        rows,
        act_id,
        units=[units[row.unit_id] for row in rows],
        places=[place for place in places if place is not None],
        positions={place for place, facts in where.items() if facts.is_position},
        parents={each.parent_unit_id for each in where.values() if each.parent_unit_id is not None},
        mirrors=mirrors,
    )
    if twice := _said_twice(call):
        raise RowsRefused(twice)
    return call


def _places_of(rows: Sequence[MovementFact]) -> tuple[list[int | None], dict[int, int]]:
    """The place of each row; and by aircraft position what is across, where that matters."""
    across = mirrors_of({row.to for row in rows if row.sort == "installed"})
    opposite = [PlaceAt("aircraft", aircraft_position_id=other) for other in across.values()]
    # In one go: two who make both places of a pair would wait for each other otherwise.
    places = place_ids([*(row.to for row in rows), *opposite])
    found = zip(across, places[len(rows) :], strict=True)
    return places[: len(rows)], {position: place for position, place in found if place is not None}


def _said_twice(call: Call) -> dict[int, list[Refusal]]:
    """Rows of one act that move one unit again: which of the two came first is not said."""
    words = "One act moves a unit once: give the other movement an act of its own."
    told = [Refusal("twice_in_one_act", words, "unit")]
    first: dict[Act, int] = {}
    for row in range(len(call.rows)):
        first.setdefault(call.act_of(row), row)
    return {row: told for row in range(len(call.rows)) if first[call.act_of(row)] != row}


def lock_call(call: Call) -> None:
    replaced = call.corrected(range(len(call.rows))).every_unit()
    lock(
        places=[
            *call.positions,
            *call.mirrors.values(),
            *(positions_ever_held({*call.units, *replaced}) if replaced else ()),
        ],
        units=[*call.units, *call.parents, *replaced],
        is_nesting=bool(call.parents or replaced),
    )
