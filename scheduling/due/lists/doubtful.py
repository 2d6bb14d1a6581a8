"""Which of many units may have run out, or lack a basis: by their stored items, so that only these are reckoned anew."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from django.db import connection

from equipment.ledger.arrays import array_of
from scheduling.engine.basis.bands import Band
from scheduling.facts.items import LIMIT_BITS, SORT_BITS, UNIT

# A unit's items stand side by side, by the key that is made of it. What has changed since (a stamp
# differs) or was never reckoned says nothing, so it counts as doubtful, unless no limit is of its kind.
DOUBTFUL = f"""
SELECT w.id FROM unnest(%(units)s::bigint[]) AS w (id)
LEFT JOIN LATERAL (
    SELECT count(*) AS items, bool_or(
        CASE d.band WHEN %(no_basis)s THEN %(with_unknown)s
        ELSE d.band = %(overdue)s OR d.due_on < %(on)s OR d.flags & %(spent)s <> 0 END
        OR d.unit_stamp IS DISTINCT FROM u.facts_stamp
        OR d.programme_stamp IS DISTINCT FROM p.facts_stamp
        OR (d.aircraft_id IS NOT NULL AND d.aircraft_stamp IS DISTINCT FROM a.facts_stamp)
    ) AS is_doubtful
    FROM scheduling_dueitem d
    JOIN equipment_unit u ON u.id = d.unit_id
    JOIN scheduling_limit l ON l.id = d.limit_id
    JOIN scheduling_programme p ON p.id = l.programme_id
    LEFT JOIN fleet_aircraft a ON a.id = d.aircraft_id
    WHERE d.id >= w.id << {LIMIT_BITS + SORT_BITS} AND d.id < (w.id + 1) << {LIMIT_BITS + SORT_BITS}
      AND d.id & {(1 << SORT_BITS) - 1} = {UNIT} AND d.unit_id = w.id
) AS of_unit ON true
WHERE of_unit.is_doubtful OR of_unit.items = 0 AND EXISTS (
    SELECT FROM scheduling_limit l, equipment_unit u JOIN equipment_partnumber n ON n.id = u.part_number_id
    WHERE u.id = w.id AND (l.kind_id IS NULL OR l.kind_id = n.kind_id)
)
"""


def doubtful_units(
    units: Sequence[int], on: date, spent: int, *, with_unknown: bool = True
) -> list[int]:
    """Those of the units that the stored items do not clear for ``on``, the day that they hold for.

    ``spent`` are the flags of a limit that is used up by a measure of its own; ``with_unknown``: a limit
    without a basis counts too. One question.
    """
    with connection.cursor() as cursor:
        asked: dict[str, Any] = {
            "units": array_of(units),
            "overdue": Band.OVERDUE,
            "no_basis": Band.NO_BASIS,
            "with_unknown": with_unknown,
            "on": on,
            "spent": spent,
        }
        cursor.execute(DOUBTFUL, asked)
        return [unit for (unit,) in cursor.fetchall()]
