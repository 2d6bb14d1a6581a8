"""The aircraft's totals on the nearest other days, that those of a movement must lie between."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime, time, timedelta

from django.db import connection

from equipment.ledger.picture import Edit, Picture, Totals
from equipment.ledger.sweep import aircraft_of

# Of the day itself nothing is compared: which of two totals of one day was read first is not known.
READINGS = """
LEFT JOIN LATERAL (
    SELECT r.total FROM fleet_utilisationreading r
    WHERE r.aircraft_id = w.aircraft_id AND r.measure_id = {measure} AND r.is_conforming
      AND NOT r.is_annulment AND r.read_at {compares} AND NOT EXISTS (
        SELECT FROM fleet_utilisationreading c WHERE c.corrects_id = r.id AND c.is_conforming
      )
    ORDER BY r.read_at {order} LIMIT 1
) {name} ON true
"""
MOVED = """
LEFT JOIN LATERAL (
    SELECT f.{end}_{what} AS total FROM equipment_fittedperiod f
    WHERE f.aircraft_id = w.aircraft_id AND f.{end}_{what} IS NOT NULL AND f.{end}_at {compares}
    ORDER BY f.{end}_at {order} LIMIT 1
) {name} ON true
"""
MEASURE = "(SELECT min(id) FROM fleet_measure WHERE counted_on = 'aircraft' AND unit = '{unit}')"
BEFORE, AFTER = ("< w.day_start", "DESC"), (">= w.day_end", "ASC")


def _near(what: str, unit: str) -> str:
    measure = MEASURE.format(unit=unit)
    joins = ""
    for side, (compares, order) in (("before", BEFORE), ("after", AFTER)):
        shape = {"what": what, "measure": measure, "compares": compares, "order": order}
        joins += READINGS.format(name=f"{what}_read_{side}", **shape)
        joins += MOVED.format(name=f"{what}_on_{side}", end="from", **shape)
        joins += MOVED.format(name=f"{what}_off_{side}", end="to", **shape)
    return joins


NEAREST = f"""
SELECT w.row,
       greatest(minutes_read_before.total, minutes_on_before.total, minutes_off_before.total),
       least(minutes_read_after.total, minutes_on_after.total, minutes_off_after.total),
       greatest(cycles_read_before.total, cycles_on_before.total, cycles_off_before.total),
       least(cycles_read_after.total, cycles_on_after.total, cycles_off_after.total)
FROM unnest(%s::integer[], %s::bigint[], %s::timestamptz[], %s::timestamptz[])
    AS w (row, aircraft_id, day_start, day_end)
{_near("minutes", "minutes")}
{_near("cycles", "count")}
"""


def add_totals(picture: Picture, edits: Iterable[Edit]) -> None:
    """This will add the nearest totals for each row that brings an aircraft's totals itself.

    A total known only to a month or a year is compared with none.
    """
    rows: list[tuple[int, int, datetime, datetime]] = []
    for edit in edits:
        has_totals = edit.minutes is not None or edit.cycles is not None
        if not has_totals or edit.link is None or edit.precision not in ("instant", "day"):
            continue
        chain = picture.chains[edit.unit_id]
        aircraft = aircraft_of(edit, chain.before(edit.link.key), picture)
        if aircraft is not None:
            start = datetime.combine(edit.link.day, time(), UTC) - timedelta(hours=14)
            rows.append((edit.row, aircraft, start, start + timedelta(days=1, hours=28)))
    if rows:
        with connection.cursor() as cursor:
            cursor.execute(NEAREST, [list(column) for column in zip(*rows, strict=True)])
            picture.totals = {row: Totals(*near) for row, *near in cursor.fetchall()}
