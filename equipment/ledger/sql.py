"""What the ledger's facts amount to, as questions to the database: many units at once.

``HOLDING``: the movements that hold now. Of a chain of corrections the last conforming one holds,
unless it was annulled; one that does not conform leaves the one before it in force. The movements
of a unit that turned out to be another count as that other's.
"""

from __future__ import annotations

HOLDING = """
SELECT coalesce(u.merged_into_id, u.id) AS unit_id, m.id, m.to_place_id AS place_id,
       m.happened_at, m.day_order, m.quantity, m.zone
FROM equipment_unit u
JOIN equipment_movement m ON m.unit_id = u.id
LEFT JOIN equipment_movement c ON c.corrects_id = m.id
WHERE coalesce(u.merged_into_id, u.id) = ANY(%(units)s::bigint[])
  AND m.is_conforming
  AND NOT EXISTS (SELECT FROM equipment_correction a WHERE a.movement_id = m.id)
  AND (c.id IS NULL OR NOT (c.is_conforming OR EXISTS (
      WITH RECURSIVE later AS (
          SELECT n.id, n.is_conforming FROM equipment_movement n WHERE n.corrects_id = c.id
          UNION ALL
          SELECT n.id, n.is_conforming FROM later l JOIN equipment_movement n ON n.corrects_id = l.id
      )
      SELECT FROM later WHERE is_conforming
  )))
"""

# A stay lasts from its movement to the next one; what lasts no time at all is no stay.
STAYS = f"""
SELECT * FROM (
    SELECT unit_id, place_id, quantity, id AS begun_by_id, lead(id) OVER chain AS ended_by_id,
           tstzrange(happened_at, lead(happened_at) OVER chain) AS valid
    FROM ({HOLDING}) holding
    WINDOW chain AS (PARTITION BY unit_id ORDER BY happened_at, day_order, id)
) chained
WHERE NOT isempty(valid)
"""

# From each stay outwards, through what was around it in the same time, to an aircraft. The unit that
# comes off on the line is the nearest one that does, or else the outermost. The totals are those
# read at the movement that began or ended the period, whichever unit's it was.
OUTWARDS = """
WITH RECURSIVE outwards AS (
    SELECT s.unit_id, s.place_id, p.sort, p.aircraft_position_id,
           coalesce(o.merged_into_id, o.id) AS outer_id, s.valid,
           s.begun_by_id, s.ended_by_id, s.unit_id AS top_id, 0 AS depth,
           CASE WHEN n.removed = 'line' THEN s.unit_id END AS line_id
    FROM equipment_stay s
    JOIN equipment_place p ON p.id = s.place_id AND p.sort IN ('aircraft', 'inside')
    JOIN equipment_unit u ON u.id = s.unit_id
    JOIN equipment_partnumber n ON n.id = u.part_number_id
    LEFT JOIN equipment_unit o ON o.id = p.parent_unit_id
    WHERE s.unit_id = ANY(%(units)s::bigint[]) AND upper_inf(s.known)
    UNION ALL
    SELECT w.unit_id, w.place_id, p.sort, p.aircraft_position_id,
           coalesce(o.merged_into_id, o.id), w.valid * s.valid,
           CASE WHEN lower(s.valid) > lower(w.valid) THEN s.begun_by_id ELSE w.begun_by_id END,
           CASE WHEN upper(s.valid) < coalesce(upper(w.valid), 'infinity') THEN s.ended_by_id
                ELSE w.ended_by_id END,
           s.unit_id, w.depth + 1,
           coalesce(w.line_id, CASE WHEN n.removed = 'line' THEN s.unit_id END)
    FROM outwards w
    JOIN equipment_stay s ON s.unit_id = w.outer_id AND s.valid && w.valid AND upper_inf(s.known)
    JOIN equipment_place p ON p.id = s.place_id AND p.sort IN ('aircraft', 'inside')
    JOIN equipment_unit u ON u.id = s.unit_id
    JOIN equipment_partnumber n ON n.id = u.part_number_id
    LEFT JOIN equipment_unit o ON o.id = p.parent_unit_id
    WHERE w.sort = 'inside' AND w.depth < 32
)
SELECT w.unit_id, ap.aircraft_id, w.aircraft_position_id AS root_position_id, w.place_id,
       coalesce(w.line_id, w.top_id) AS line_unit_id, w.depth,
       lower(w.valid) AS from_at, upper(w.valid) AS to_at,
       b.aircraft_minutes AS from_minutes, b.aircraft_cycles AS from_cycles,
       e.aircraft_minutes AS to_minutes, e.aircraft_cycles AS to_cycles,
       b.sort = 'split' AS is_split
FROM outwards w
JOIN fleet_aircraftposition ap ON ap.id = w.aircraft_position_id
JOIN equipment_movement b ON b.id = w.begun_by_id
LEFT JOIN equipment_movement e ON e.id = w.ended_by_id
WHERE w.sort = 'aircraft'
"""

# A lot from which some were split off stays where it is: one period, not two.
FITTED = f"""
SELECT unit_id, aircraft_id, root_position_id, place_id, line_unit_id, depth,
       min(from_at) AS from_at,
       (array_agg(to_at ORDER BY from_at DESC))[1] AS to_at,
       (array_agg(from_minutes ORDER BY from_at))[1] AS from_minutes,
       (array_agg(from_cycles ORDER BY from_at))[1] AS from_cycles,
       (array_agg(to_minutes ORDER BY from_at DESC))[1] AS to_minutes,
       (array_agg(to_cycles ORDER BY from_at DESC))[1] AS to_cycles
FROM (
    SELECT *, count(*) FILTER (WHERE NOT goes_on) OVER (PARTITION BY unit_id ORDER BY from_at) AS island
    FROM (
        SELECT *, is_split AND coalesce(
            lag((place_id, root_position_id, line_unit_id, to_at)) OVER (PARTITION BY unit_id ORDER BY from_at)
            = (place_id, root_position_id, line_unit_id, from_at), false) AS goes_on
        FROM ({OUTWARDS}) periods
    ) marked
) islands
GROUP BY unit_id, aircraft_id, root_position_id, place_id, line_unit_id, depth, island
"""
