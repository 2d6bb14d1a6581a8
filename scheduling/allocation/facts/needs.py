"""Needs: each planned removal as the matching takes it, with what a person reads of it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import NamedTuple

from equipment.keeping.judged.fits import mirrors_of
from equipment.ledger.facts import PlaceAt
from equipment.models import StoresRule
from fleet.models import Aircraft, Kind, Measure
from scheduling.matching.facts.facts import Need

from .counted import rates_on
from .papers import dual_release_for
from .parts import Parts, Spot, parts_of
from .reading import rows
from .removals import Removal

SPOTS = """
SELECT u.id, u.part_number_id, coalesce(m.code, ''), u.serial_number, p.id, p.capacity,
       CASE WHEN p.sort = 'aircraft' THEN ap.type_position_id END, p.part_position_id,
       coalesce(pp.kind_id, tp.kind_id), tp.code, coalesce(pp.code, ''),
       u.quantity
FROM unnest(%(units)s::bigint[], %(positions)s::bigint[]) AS asked (unit_id, position_id)
JOIN equipment_unit u ON u.id = asked.unit_id
JOIN equipment_place p ON p.id = u.place_id
JOIN fleet_aircraftposition ap ON ap.id = asked.position_id
JOIN fleet_typeposition tp ON tp.id = ap.type_position_id
LEFT JOIN equipment_partposition pp ON pp.id = p.part_position_id
LEFT JOIN equipment_modificationstandard m ON m.id = u.standard_id
"""
ACROSS = """
SELECT p.aircraft_position_id, min(u.part_number_id)
FROM equipment_place p JOIN equipment_unit u ON u.place_id = p.id
WHERE p.aircraft_position_id = ANY(%(positions)s::bigint[]) GROUP BY 1
"""


class SpotRow(NamedTuple):
    """Where a unit that comes off is fitted."""

    unit_id: int
    part_id: int
    standard: str
    serial: str
    place_id: int
    capacity: int | None
    type_position_id: int | None
    part_position_id: int | None
    kind_id: int
    position: str
    inside: str
    pieces: int = 1

    @property
    def spot(self) -> Spot:
        return self.type_position_id, self.part_position_id


class AcrossRow(NamedTuple):
    position_id: int
    part_id: int


class Craft(NamedTuple):
    id: int
    registration: str
    msn: str
    station: str


@dataclass(frozen=True, slots=True)
class NeedFact:
    """A need with its removal, and where it is."""

    need: Need
    removal: Removal
    row: SpotRow
    kind: str
    registration: str
    position: str
    off_words: str
    off_part: str
    #: Which of several pieces that come off, each a need of its own; 0: all of them are one.
    piece: int = 0

    @property
    def came(self) -> tuple[int, int]:
        """The removal and which of its pieces: what decisions are about, whatever the need is called."""
        return self.row.unit_id, self.piece

    @property
    def parts(self) -> tuple[str, ...]:
        """What may go there; where nothing may, what is there now."""
        return tuple(fit.part for fit in self.need.fits) or (self.off_part,)


@dataclass(frozen=True, slots=True)
class Rules:
    """The operator's rules of stock by kind, the kinds' codes and names, and what is measured."""

    of_kind: dict[int, StoresRule]
    kinds: dict[int, tuple[str, str]]
    measures: tuple[Measure, ...] = ()

    def least_days(self, kind_id: int) -> int:
        rule = self.of_kind.get(kind_id)
        return rule.least_days_at_issue if rule else 0

    def turn_days(self, kind_id: int) -> int:
        """What a shop usually takes for a kind; the table's own usual figure where no rule is entered."""
        return (self.of_kind.get(kind_id) or StoresRule()).turn_days

    def hurry_days(self, kind_id: int) -> int:
        rule = self.of_kind.get(kind_id)
        return rule.hurry_days if rule else 0


def rules_of_stock() -> Rules:
    """Three questions."""
    kinds = {
        key: (code, name) for key, code, name in Kind.objects.values_list("pk", "code", "name")
    }
    measures = tuple(Measure.objects.order_by("pk"))
    return Rules({rule.kind_id: rule for rule in StoresRule.objects.all()}, kinds, measures)


def needs_of(
    removals: Sequence[Removal], rules: Rules, as_of: date
) -> tuple[list[NeedFact], Parts]:
    """Each removal as a need, and the parts that any of them may take. A fixed number of questions."""
    spots = _spots(removals)
    parts = parts_of(row.spot for row in spots.values())
    craft = {row.id: row for row in _craft()}
    across = _across(removals)
    rates = rates_on(as_of, rules.measures)
    dual = dual_release_for([(one.aircraft_id, one.on) for one in removals])
    found = []
    for removal in removals:
        row = spots.get(removal.unit_id)
        if row is not None:
            other = across.get(removal.position_id) if row.type_position_id else None
            made = _need(removal, row, craft[removal.aircraft_id], (parts, rules, other))
            need = replace(
                made.need,
                rates=rates.get(removal.aircraft_id, ()),
                dual_release=dual.get((removal.aircraft_id, removal.on), ""),
            )
            found += _pieces(replace(made, need=need), parts)
    return _named_by_family(found), parts


def _spots(removals: Sequence[Removal]) -> dict[int, SpotRow]:
    values = {
        "units": [removal.unit_id for removal in removals],
        "positions": [removal.position_id for removal in removals],
    }
    return {row.unit_id: row for row in rows(SpotRow, SPOTS, values)}


def _craft() -> list[Craft]:
    found = Aircraft.objects.values_list("pk", "registration", "msn", "station__code")
    return [Craft(*row) for row in found]


def _across(removals: Sequence[Removal]) -> dict[int, int]:
    """Aircraft position -> the part at the one across, where both sides must be the same."""
    positions = {removal.position_id for removal in removals}
    mirrors = mirrors_of([PlaceAt("aircraft", aircraft_position_id=one) for one in positions])
    parts = dict(rows(AcrossRow, ACROSS, {"positions": list(mirrors.values())}))
    return {one: parts[other] for one, other in mirrors.items() if other in parts}


def _need(
    removal: Removal, row: SpotRow, craft: Craft, known: tuple[Parts, Rules, int | None]
) -> NeedFact:
    parts, rules, across = known
    position = f"{row.position} / {row.inside}" if row.inside else row.position
    several = f" (S/N {row.serial})" if (row.capacity or 0) > 1 else ""
    need = Need(
        key=f"{craft.registration} {position}{several}",
        family="",
        on=removal.on,
        station=removal.stop.station if removal.stop else craft.station,
        msn=craft.msn,
        fits=parts.fits(row.spot, row.kind_id, across),
        opportunities=removal.opportunities,
        least_days=rules.least_days(row.kind_id),
        quantity=max(row.pieces, 1),
    )
    part = parts.words[row.part_id]
    return NeedFact(
        need,
        removal,
        row,
        rules.kinds[row.kind_id][1],
        craft.registration,
        position + several,
        f"{part} S/N {row.serial}",
        part,
    )


def _pieces(fact: NeedFact, parts: Parts) -> list[NeedFact]:
    """The need, of one lot; or one need for each piece that comes off, where units by themselves may go there too."""
    many = fact.need.quantity
    if many == 1 or parts.are_lots(fact.need.fits):
        return [fact]
    return [
        replace(
            fact,
            need=replace(fact.need, key=f"{fact.need.key} {piece} of {many}", quantity=1),
            piece=piece,
        )
        for piece in range(1, many + 1)
    ]


def _named_by_family(found: list[NeedFact]) -> list[NeedFact]:
    """Parts that any need may take one for another are one family, alternates counted once."""
    family_of = _families(fact.parts for fact in found)
    return [
        replace(fact, need=replace(fact.need, family=f"{fact.kind} {family_of[fact.parts[0]]}"))
        for fact in found
    ]


def _families(together: Iterable[Sequence[str]]) -> dict[str, str]:
    """The name of each part's family: its part numbers, of many the first three."""
    root: dict[str, str] = {}

    def top(part: str) -> str:
        while root.setdefault(part, part) != part:
            part = root[part]
        return part

    for parts in together:
        for part in parts:
            first, other = sorted((top(parts[0]), top(part)))
            root[other] = first
    members: dict[str, list[str]] = defaultdict(list)
    for part in sorted(root):
        members[top(part)].append(part)
    names = {first: _few(parts) for first, parts in members.items()}
    return {part: names[top(part)] for part in root}


def _few(parts: list[str]) -> str:
    more = f" and {len(parts) - 3} more" if len(parts) > 3 else ""
    return ", ".join(parts[:3]) + more
