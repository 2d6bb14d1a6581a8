"""Of which units of a whole stock anything is said that makes somebody look at them: only these are judged one by one.

Nothing is judged here. What is named may turn out to be good by the one rule (:mod:`.rule`); what is not
named is neither in quarantine, nor tagged, nor held, nor past a limit.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from datetime import date

from django.db import connection

from equipment.ledger.arrays import array_of
from equipment.ledger.nesting import INSIDE_NOW
from equipment.models import Hold

from .ports import not_cleared_of

# Each unit with all inside it, and whether a tag, a hold of it alone or a quarantine is on record of it or
# of a record that was merged into it.
SAID = f"""{INSIDE_NOW}, said (id) AS MATERIALIZED (
    SELECT coalesce(u.merged_into_id, u.id) FROM equipment_unit u JOIN equipment_unittag t ON t.unit_id = u.id
    WHERE t.sort <> 'serviceable'
    UNION
    SELECT coalesce(u.merged_into_id, u.id) FROM equipment_unit u JOIN equipment_hold h ON h.unit_id = u.id
    WHERE NOT EXISTS (SELECT FROM equipment_holdend e WHERE e.hold_id = h.id)
    UNION
    SELECT u.id FROM equipment_unit u JOIN equipment_place p ON p.id = u.place_id WHERE p.sort = 'quarantine'
)
SELECT i.root, i.id, i.id IN (SELECT id FROM said) FROM inside i
"""
# What holds by a number or a name may be about, of these units and of the records merged into them.
NAMED = """
SELECT coalesce(u.merged_into_id, u.id), u.serial_number, s.serial_number, c.tracking_number, c.supplier
FROM unnest(%s::bigint[]) AS asked (id)
JOIN equipment_unit u ON coalesce(u.merged_into_id, u.id) = asked.id
LEFT JOIN equipment_unit s ON s.id = u.split_from_id
LEFT JOIN equipment_certificate c ON c.unit_id = u.id
"""


def doubted_among(unit_ids: Iterable[int], on: date) -> set[int]:
    """Those of the units that lie in quarantine, or of which, or of something inside which, a tag, an open hold or a
    limit that may have run out by ``on`` is on record. A fixed number of questions for any number of units.

    What its papers, its owner or who set it aside say is not looked at.
    """
    inside, said = _inside(unit_ids)
    every = sorted({each for within in inside.values() for each in within})
    said |= _held_by_name(every)
    said |= not_cleared_of(every, on)
    return {root for root, within in inside.items() if not said.isdisjoint(within)}


def _inside(unit_ids: Iterable[int]) -> tuple[dict[int, list[int]], set[int]]:
    """Each unit with itself and all inside it; and of which of them anything is said."""
    found: dict[int, list[int]] = defaultdict(list)
    said = set()
    with connection.cursor() as cursor:
        cursor.execute(SAID, {"units": array_of(set(unit_ids))})
        for root, unit, is_said in cursor.fetchall():
            found[root].append(unit)
            if is_said:
                said.add(unit)
    return dict(found), said


def _held_by_name(units: Iterable[int]) -> set[int]:
    """Units that an open hold of a certificate, a supplier or a lot may reach by any of their numbers."""
    holds = Hold.objects.filter(ended=None).exclude(scope="unit").values_list("value", flat=True)
    if not (values := {value.casefold() for value in holds}):
        return set()
    with connection.cursor() as cursor:
        cursor.execute(NAMED, [array_of(units)])
        rows = cursor.fetchall()
    return {unit for unit, *names in rows if any(n and n.casefold() in values for n in names)}
