"""What the ledger answers: what was fitted at an instant, as our records said at another."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from django.db import connection

from fleet.models import Aircraft

# By the bounds, not by @>: the planner would take the index of the ranges, which nearly every stay
# of the fleet meets, before that of the place.
THEN = """lower(s.valid) <= asked.at AND coalesce(upper(s.valid) > asked.at, true)
      AND lower(s.known) <= asked.known_at AND coalesce(upper(s.known) > asked.known_at, true)"""
# Which unit each one was held to be, and which part, is answered for the same two instants.
FITTED = f"""
WITH RECURSIVE asked AS (
    SELECT %(at)s::timestamptz AS at, coalesce(%(known_at)s::timestamptz, 'infinity') AS known_at
), joined AS (
    SELECT m.absorbed_id AS id, m.kept_id, 1 AS step
    FROM equipment_unitmerge m, asked WHERE m.recorded_at <= asked.known_at
    UNION ALL
    SELECT j.id, m.kept_id, j.step + 1
    FROM joined j JOIN equipment_unitmerge m ON m.absorbed_id = j.kept_id, asked
    WHERE m.recorded_at <= asked.known_at
), kept AS (
    SELECT DISTINCT ON (id) id, kept_id FROM joined ORDER BY id, step DESC
), fitted AS (
    SELECT ap.id AS position_id, 0 AS depth, ARRAY[tp.code::text] AS path,
           ARRAY[tp.code::text, s.begun_by_id::text] AS line, s.unit_id, s.quantity, s.begun_by_id
    FROM asked, fleet_aircraftposition ap
    JOIN fleet_typeposition tp ON tp.id = ap.type_position_id
    JOIN equipment_place p ON p.aircraft_position_id = ap.id
    JOIN equipment_stay s ON s.place_id = p.id
    WHERE ap.aircraft_id = %(aircraft)s AND {THEN}
    UNION ALL
    SELECT f.position_id, f.depth + 1, f.path || pp.code::text,
           f.line || pp.code::text || s.begun_by_id::text, s.unit_id, s.quantity, s.begun_by_id
    FROM fitted f
    CROSS JOIN asked
    JOIN LATERAL (
        SELECT f.unit_id AS id UNION ALL SELECT k.id FROM kept k WHERE k.kept_id = f.unit_id
    ) outer_unit ON true
    JOIN equipment_place p ON p.parent_unit_id = outer_unit.id
    JOIN equipment_partposition pp ON pp.id = p.part_position_id
    JOIN equipment_stay s ON s.place_id = p.id
    WHERE {THEN} AND f.depth < 32
)
SELECT f.position_id, f.depth, f.path, f.unit_id, n.number, coalesce(std.code, ''), n.description,
       u.serial_number, f.quantity, m.happened_at, m.precision, m.zone, m.id
FROM fitted f
CROSS JOIN asked
JOIN equipment_unit u ON u.id = f.unit_id
JOIN equipment_movement m ON m.id = f.begun_by_id
LEFT JOIN LATERAL (
    SELECT i.part_number_id, i.standard_id FROM equipment_identification i
    WHERE i.unit_id = u.id AND i.recorded_at <= asked.known_at
      AND i.from_on <= (asked.at AT TIME ZONE m.zone)::date
    ORDER BY i.from_on DESC LIMIT 1
) i ON true
JOIN equipment_partnumber n ON n.id = coalesce(i.part_number_id, CASE
    WHEN EXISTS (SELECT FROM equipment_identification e WHERE e.unit_id = u.id) THEN u.original_part_id
    ELSE u.part_number_id END)
LEFT JOIN equipment_modificationstandard std ON std.id = CASE
    WHEN i.part_number_id IS NOT NULL THEN i.standard_id
    WHEN NOT EXISTS (SELECT FROM equipment_identification e WHERE e.unit_id = u.id) THEN u.standard_id END
ORDER BY f.line
"""


@dataclass(frozen=True, slots=True)
class Fitted:
    """A unit fitted at an aircraft's position (``depth`` 0), or inside one that is.

    ``path`` leads from the aircraft's position inwards. Part number and standard are those that
    the unit was then, as then known. ``since`` is as exact as ``precision`` says.
    """

    position_id: int
    depth: int
    path: tuple[str, ...]
    unit_id: int
    part_number: str
    standard: str
    description: str
    serial_number: str
    quantity: int
    since: datetime
    precision: str
    zone: str
    movement_id: int

    @property
    def position(self) -> str:
        return self.path[0]

    @property
    def since_on(self) -> date:
        return self.since.astimezone(ZoneInfo(self.zone)).date()


def fitted(
    aircraft: Aircraft | int, at: datetime, known_at: datetime | None = None
) -> list[Fitted]:
    """What was fitted at ``at``, as our records said at ``known_at`` (None: as they say now).

    Positions in the order of their codes, each followed by what is inside, as deep as it goes. One
    query. A unit whose stay begins at ``at`` is fitted; one whose stay ends then is not.
    """
    key = aircraft if isinstance(aircraft, int) else aircraft.pk
    with connection.cursor() as cursor:
        cursor.execute(FITTED, {"aircraft": key, "at": at, "known_at": known_at})
        return [Fitted(row[0], row[1], tuple(row[2]), *row[3:]) for row in cursor.fetchall()]


def end_of_day(day: date, zone: str) -> datetime:
    """The last instant of a day where ``zone`` is: what a date alone means when asked about."""
    return datetime.combine(day + timedelta(days=1), time(), ZoneInfo(zone)) - timedelta(
        microseconds=1
    )
