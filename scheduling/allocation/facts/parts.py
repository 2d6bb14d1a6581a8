"""Part numbers by name, what is listed for positions, and what may stand for what."""

from __future__ import annotations

import json
from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

from equipment.models import PartNumber
from scheduling.matching.facts.facts import Fit

from .reading import rows

FITS = """
SELECT type_position_id, part_position_id, part_number_id, msn_from, msn_to, standards::text,
       condition = 'both_sides_same'
FROM equipment_fit
WHERE type_position_id = ANY(%(types)s::bigint[]) OR part_position_id = ANY(%(insides)s::bigint[])
ORDER BY id
"""
ALTERNATES = """
SELECT part_number_id, alternate_id FROM equipment_alternate
UNION
SELECT alternate_id, part_number_id FROM equipment_alternate WHERE is_two_way
ORDER BY 1, 2
"""
#: A position of a layout, or one inside a part: exactly one of the two.
Spot = tuple[int | None, int | None]


class PartRow(NamedTuple):
    number: str
    maker: str
    kind_id: int
    is_dangerous: bool
    is_lot: bool = False


class Listed(NamedTuple):
    type_position_id: int | None
    part_position_id: int | None
    part_id: int
    msn_from: str
    msn_to: str
    standards: str
    is_both_sides: bool


class StandsFor(NamedTuple):
    part_id: int
    other_id: int


@dataclass(frozen=True, slots=True)
class Parts:
    """``words`` name each part (with its maker where two makers share a number); ``stand_in`` are the
    parts that may stand for one, ``of_kind`` the parts of a kind; ``listed`` what fits where."""

    words: dict[int, str]
    kind_of: dict[int, int]
    dangerous: frozenset[int]
    stand_in: dict[int, tuple[int, ...]]
    of_kind: dict[int, tuple[int, ...]]
    listed: dict[Spot, tuple[Listed, ...]]
    #: By their words: parts that are tracked by batch and quantity.
    lots: frozenset[str] = frozenset()

    def are_lots(self, fits: Iterable[Fit]) -> bool:
        """Whether all that may go there is tracked by batch: then one lot may fill the place."""
        return all(fit.part in self.lots for fit in fits)

    def fits(self, spot: Spot, kind_id: int, across: int | None) -> tuple[Fit, ...]:
        """What may go to a position: what is listed and whatever may stand for it, else its kind.

        ``across`` is the part at the mirrored position where both sides must be the same: then
        only that part, or one of which each may stand for the other, may go here.
        """
        listed = self.listed.get(spot, ())
        if not listed:
            return tuple(Fit(self.words[part]) for part in self.of_kind.get(kind_id, ()))
        found: dict[Fit, None] = {}
        for one in listed:
            bounds = {"msn_from": one.msn_from, "msn_to": one.msn_to}
            standards = tuple(json.loads(one.standards))
            for part in (one.part_id, *self.stand_in.get(one.part_id, ())):
                if one.is_both_sides and not self._is_same(part, across):
                    continue
                asked = standards if part == one.part_id else ()
                found[Fit(self.words[part], asked, **bounds)] = None
        return tuple(found)

    def _is_same(self, part: int, across: int | None) -> bool:
        if across is None or part == across:
            return True
        return across in self.stand_in.get(part, ()) and part in self.stand_in.get(across, ())


def parts_of(spots: Iterable[Spot]) -> Parts:
    """All part numbers, and what is listed for these positions. Three questions."""
    wanted = set(spots)
    known = {
        key: PartRow(number, maker, kind, bool(goods), is_lot)
        for key, number, maker, kind, goods, is_lot in PartNumber.objects.order_by(
            "pk"
        ).values_list("pk", "number", "maker__code", "kind", "dangerous_goods", "is_lot")
    }
    many = Counter(part.number for part in known.values())
    of_kind: dict[int, list[int]] = defaultdict(list)
    for key, part in known.items():
        of_kind[part.kind_id].append(key)
    words = {
        key: part.number if many[part.number] == 1 else f"{part.maker}:{part.number}"
        for key, part in known.items()
    }
    return Parts(
        words=words,
        kind_of={key: part.kind_id for key, part in known.items()},
        dangerous=frozenset(key for key, part in known.items() if part.is_dangerous),
        stand_in=_stand_in(),
        of_kind={kind: tuple(keys) for kind, keys in of_kind.items()},
        listed=_listed(wanted),
        lots=frozenset(words[key] for key, part in known.items() if part.is_lot),
    )


def _stand_in() -> dict[int, tuple[int, ...]]:
    found: dict[int, list[int]] = defaultdict(list)
    for row in rows(StandsFor, ALTERNATES, {}):
        found[row.part_id].append(row.other_id)
    return {part: tuple(others) for part, others in found.items()}


def _listed(spots: set[Spot]) -> dict[Spot, tuple[Listed, ...]]:
    values = {
        "types": [spot[0] for spot in spots if spot[0] is not None],
        "insides": [spot[1] for spot in spots if spot[1] is not None],
    }
    found: dict[Spot, list[Listed]] = defaultdict(list)
    for row in rows(Listed, FITS, values):
        found[row.type_position_id, row.part_position_id].append(row)
    return {spot: tuple(listed) for spot, listed in found.items()}
