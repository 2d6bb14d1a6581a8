"""Chains of corrections: what a movement that is to be corrected or annulled replaced itself."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from django.db import connection

from equipment.ledger.arrays import array_of
from fleet.house.refusals import Refusal
from fleet.words.said import day_words

CHAINS = """
WITH RECURSIVE chain AS (
    SELECT id AS named, id, corrects_id, unit_id FROM equipment_movement WHERE id = ANY(%s::bigint[])
    UNION ALL
    SELECT c.named, m.id, m.corrects_id, m.unit_id
    FROM chain c JOIN equipment_movement m ON m.id = c.corrects_id
)
SELECT c.named, c.id, coalesce(u.merged_into_id, u.id) FROM chain c JOIN equipment_unit u ON u.id = c.unit_id
"""
# The later movements of the chain, nearest first.
LATER = """
WITH RECURSIVE later AS (
    SELECT m.id AS named, m.id, 0 AS step FROM equipment_movement m WHERE m.id = ANY(%s::bigint[])
    UNION ALL
    SELECT l.named, m.id, l.step + 1 FROM later l JOIN equipment_movement m ON m.corrects_id = l.id
)
SELECT l.named, l.step, m.is_conforming, a.id IS NOT NULL, m.recorded_at
FROM later l JOIN equipment_movement m ON m.id = l.id
LEFT JOIN equipment_correction a ON a.movement_id = m.id
ORDER BY l.named, l.step
"""
PLACES = """
SELECT DISTINCT m.to_place_id
FROM equipment_unit u
JOIN equipment_movement m ON m.unit_id = u.id
JOIN equipment_place p ON p.id = m.to_place_id AND p.holds > 0
WHERE coalesce(u.merged_into_id, u.id) = ANY(%s::bigint[])
"""


@dataclass(slots=True)
class Chains:
    """Of each named movement: the keys of its chain up to itself, and the units (as kept) of these."""

    ids: dict[int, set[int]] = field(default_factory=lambda: defaultdict(set))
    units: dict[int, set[int]] = field(default_factory=lambda: defaultdict(set))

    def replaced_by(self, named: int | None) -> frozenset[int]:
        return frozenset() if named is None else frozenset(self.ids[named])

    def units_of(self, named: int | None) -> frozenset[int]:
        return frozenset() if named is None else frozenset(self.units[named])

    def every_unit(self) -> set[int]:
        return set().union(*self.units.values())


def chains_of(named: Iterable[int]) -> Chains:
    found = Chains()
    wanted = list(named)
    if wanted:
        with connection.cursor() as cursor:
            cursor.execute(CHAINS, [array_of(wanted)])
            for name, movement, unit in cursor.fetchall():
                found.ids[name].add(movement)
                found.units[name].add(unit)
    return found


def positions_ever_held(units: Iterable[int]) -> set[int]:
    """Every position that these units were at: a stay there may grow when a movement is taken back."""
    with connection.cursor() as cursor:
        cursor.execute(PLACES, [array_of(units)])
        return {place for (place,) in cursor.fetchall()}


def why_not_replace(named: Sequence[int], *, is_annulment: bool) -> dict[int, Refusal]:
    """Why a movement cannot be corrected (annulled) any more, by its key.

    Only the last of a chain can be corrected, and none that was annulled, unless the one annulled
    had never held. What holds though a later one was taken back can still be annulled.
    """
    found: dict[int, Refusal] = {}
    if not named:
        return found
    later: dict[int, list[tuple[bool, bool, object]]] = defaultdict(list)
    with connection.cursor() as cursor:
        cursor.execute(LATER, [array_of(named)])
        for name, _, is_conforming, is_annulled, recorded_at in cursor.fetchall():
            later[name].append((is_conforming, is_annulled, day_words(recorded_at.date())))
    for name in named:
        if name not in later:
            found[name] = Refusal(
                "unknown_movement", "There is no such movement: look it up again.", "corrects"
            )
            continue
        (is_conforming, is_annulled, _), *after = later[name]
        if is_annulled and (is_annulment or is_conforming):
            found[name] = Refusal(
                "already_annulled",
                "This movement was annulled: record what happened as a movement of its own.",
                "corrects",
            )
        elif any(conforms or not taken for conforms, taken, _ in after) or (
            after and not is_annulment
        ):
            found[name] = Refusal(
                "already_corrected",
                f"This movement was corrected on {after[-1][2]}: correct the later one instead.",
                "corrects",
            )
    return found
