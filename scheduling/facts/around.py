"""What is around a unit that is on no aircraft: the place it is in, and what comes off with it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from django.db import connection

from .units import SORTS, end_of

# As equipment derives it for units on an aircraft: the nearest around a unit that comes off on the
# line, itself first; else the outermost.
OUTERMOST = """
WITH RECURSIVE up AS (
    SELECT s.unit_id AS unit, s.unit_id AS top, p.sort, coalesce(o.merged_into_id, o.id) AS parent,
        p.station_id, 0 AS depth, CASE WHEN n.removed = 'line' THEN s.unit_id END AS line
    FROM equipment_stay s JOIN equipment_place p ON p.id = s.place_id
    JOIN equipment_unit u ON u.id = s.unit_id JOIN equipment_partnumber n ON n.id = u.part_number_id
    LEFT JOIN equipment_unit o ON o.id = p.parent_unit_id
    WHERE s.unit_id = ANY(%s) AND upper_inf(s.known) AND s.valid @> %s
    UNION ALL
    SELECT up.unit, s.unit_id, p.sort, coalesce(o.merged_into_id, o.id), p.station_id, up.depth + 1,
        coalesce(up.line, CASE WHEN n.removed = 'line' THEN s.unit_id END)
    FROM up JOIN equipment_stay s ON s.unit_id = up.parent AND upper_inf(s.known) AND s.valid @> %s
    JOIN equipment_place p ON p.id = s.place_id
    JOIN equipment_unit u ON u.id = s.unit_id JOIN equipment_partnumber n ON n.id = u.part_number_id
    LEFT JOIN equipment_unit o ON o.id = p.parent_unit_id
    WHERE up.sort = 'inside' AND up.depth < 20
)
SELECT unit, sort, station_id, coalesce(line, top) FROM up WHERE sort <> 'inside'
"""


def outermost(unit_ids: Sequence[int], as_of: date) -> dict[int, tuple[int, int, int]]:
    """(sort of place, station) that the outermost unit around each of these is in, and the unit that
    comes off on the line with it: the nearest that does, or else the outermost."""
    if not unit_ids:
        return {}
    at = end_of(as_of) - timedelta(microseconds=1)
    with connection.cursor() as cursor:
        cursor.execute(OUTERMOST, [list(unit_ids), at, at])
        return {
            unit: (SORTS.index(sort), -1 if station is None else station, line)
            for unit, sort, station, line in cursor.fetchall()
        }
