"""From the ledger to what is kept of it: stays, fitted periods, where each unit is now.

Only what differs is closed and inserted. What our records said before stays readable under its own
``known`` range. Nothing else in the program writes these tables and columns.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import datetime

from django.db import connection

from equipment.ledger.arrays import array_of
from equipment.ledger.nesting import EVER_INSIDE, inside_now
from equipment.ledger.sql import FITTED, STAYS
from equipment.models import Unit
from fleet.house.signals import facts_changed

from .locks import lock

PROMISES = (
    "a_unit_is_in_one_place_at_a_time, a_position_holds_no_more_than_its_places,"
    " a_stay_knows_what_its_place_holds"
)

# What was recorded and replaced at one and the same instant was never said by the records: deleted.
# Counting what goes makes it go before anything comes: else every new stay would meet the one that
# it replaces, and be looked at a second time by both promises.
RENEW_STAYS = f"""
WITH derived AS MATERIALIZED ({STAYS}),
said AS MATERIALIZED (
    SELECT id, unit_id, place_id, quantity, begun_by_id, ended_by_id, valid, known
    FROM equipment_stay WHERE unit_id = ANY(%(units)s::bigint[]) AND upper_inf(known)
),
obsolete AS (
    SELECT s.id, lower(s.known) AS since FROM said s
    WHERE NOT EXISTS (
        SELECT FROM derived d
        WHERE d.begun_by_id = s.begun_by_id AND d.unit_id = s.unit_id AND d.valid = s.valid
          AND d.place_id = s.place_id AND d.quantity = s.quantity
          AND d.ended_by_id IS NOT DISTINCT FROM s.ended_by_id
    )
),
never_said AS (
    DELETE FROM equipment_stay s USING obsolete o WHERE s.id = o.id AND o.since >= %(at)s RETURNING 1
),
closed AS (
    UPDATE equipment_stay s SET known = tstzrange(o.since, %(at)s)
    FROM obsolete o WHERE s.id = o.id AND o.since < %(at)s RETURNING 1
)
INSERT INTO equipment_stay
    (unit_id, place_id, capacity, quantity, valid, known, begun_by_id, ended_by_id)
SELECT d.unit_id, d.place_id, p.holds, d.quantity, d.valid, tstzrange(%(at)s, NULL),
       d.begun_by_id, d.ended_by_id
FROM derived d JOIN equipment_place p ON p.id = d.place_id
WHERE (SELECT count(*) FROM never_said) + (SELECT count(*) FROM closed) >= 0 AND NOT EXISTS (
    SELECT FROM said s
    WHERE d.begun_by_id = s.begun_by_id AND d.unit_id = s.unit_id AND d.valid = s.valid
      AND d.place_id = s.place_id AND d.quantity = s.quantity
      AND d.ended_by_id IS NOT DISTINCT FROM s.ended_by_id
)
"""
PERIOD = (
    "unit_id, aircraft_id, root_position_id, place_id, line_unit_id, depth, from_at, to_at,"
    " from_minutes, from_cycles, to_minutes, to_cycles"
)
RENEW_PERIODS = f"""
WITH derived AS MATERIALIZED ({FITTED}),
said AS MATERIALIZED (
    SELECT id, {PERIOD} FROM equipment_fittedperiod WHERE unit_id = ANY(%(units)s::bigint[])
),
obsolete AS (
    DELETE FROM equipment_fittedperiod f USING (
        SELECT id FROM said s WHERE NOT EXISTS (
            SELECT FROM derived d
            WHERE d.unit_id = s.unit_id AND d.from_at = s.from_at
              AND ROW(d.*) IS NOT DISTINCT FROM ROW({", ".join(f"s.{c.strip()}" for c in PERIOD.split(","))})
        )
    ) gone WHERE f.id = gone.id
)
INSERT INTO equipment_fittedperiod ({PERIOD})
SELECT {PERIOD} FROM derived d WHERE NOT EXISTS (
    SELECT FROM said s
    WHERE d.unit_id = s.unit_id AND d.from_at = s.from_at
      AND ROW(d.*) IS NOT DISTINCT FROM ROW({", ".join(f"s.{c.strip()}" for c in PERIOD.split(","))})
)
"""
RENEW_UNITS = """
UPDATE equipment_unit u
SET place_id = s.place_id, quantity = coalesce(s.quantity, u.quantity), aircraft_id = f.aircraft_id,
    facts_stamp = nextval('facts_stamp')
FROM unnest(%(units)s::bigint[]) AS wanted (id)
LEFT JOIN equipment_stay s ON s.unit_id = wanted.id AND upper_inf(s.known) AND upper_inf(s.valid)
LEFT JOIN equipment_fittedperiod f ON f.unit_id = wanted.id AND f.to_at IS NULL
WHERE u.id = wanted.id
RETURNING u.aircraft_id
"""
# The units themselves and all that is inside them, and the aircraft that they were on.
TOUCHED = f"SELECT n.id, u.aircraft_id FROM ({EVER_INSIDE}) n JOIN equipment_unit u ON u.id = n.id"
RAISE_STAMPS = """
UPDATE equipment_unit SET facts_stamp = nextval('facts_stamp')
WHERE id = ANY(%(units)s::bigint[])
RETURNING aircraft_id
"""


#: Units and aircraft.
News = tuple[set[int], set[int | None]]
#: What is to be told as the act under way ends.
_held_back: ContextVar[News | None] = ContextVar("news held back", default=None)


def derive(unit_ids: Iterable[int], *, at: datetime) -> None:
    """This will bring what is kept of these units, and of all inside them, up to the ledger.

    ``at`` is when the facts were recorded. The units must be locked. Raises IntegrityError, named
    by the promise, where the ledger's facts cannot be.
    """
    moved = array_of(unit_ids)
    with connection.cursor() as cursor:
        cursor.execute(RENEW_STAYS, {"units": moved, "at": at})
        cursor.execute(TOUCHED, {"units": moved})
        touched = dict(cursor.fetchall())
        units = {"units": array_of(touched)}
        cursor.execute(RENEW_PERIODS, units)
        cursor.execute(RENEW_UNITS, units)
        aircraft = set(touched.values()) | {each for (each,) in cursor.fetchall()}
        # Now, inside the act: at commit it would be nobody's error.
        cursor.execute(f"SET CONSTRAINTS {PROMISES} IMMEDIATE")
    _tell(list(touched), aircraft)


def derive_of_parts(part_ids: Iterable[int], *, at: datetime) -> None:
    """This will bring up to the ledger what is kept of every unit of these part numbers, and of all inside
    them: for a fact of the part number that decides with what a unit comes off.
    """
    units = list(Unit.objects.filter(part_number__in=set(part_ids)).values_list("pk", flat=True))
    if units:
        lock(places=(), units=units)
        derive(units, at=at)


def raise_stamps(unit_ids: Iterable[int]) -> None:
    """This will tell that facts of these units changed that do not move them (papers, totals)."""
    touched = sorted(set(unit_ids))
    if not touched:
        return
    with connection.cursor() as cursor:
        cursor.execute(RAISE_STAMPS, {"units": array_of(touched)})
        aircraft = {each for (each,) in cursor.fetchall()}
    _tell(touched, aircraft)


def tell_condition(unit_ids: Iterable[int]) -> None:
    """This will tell that these units are serviceable no longer, or again, and so all inside them."""
    inside = inside_now(unit_ids).values()
    raise_stamps(unit for units in inside for unit in units)


@contextmanager
def told_together() -> Iterator[None]:
    """What several steps of one act change is told once, as it ends, in the act's own transaction: each telling
    reckons the units anew. An act that is refused tells nothing."""
    if _held_back.get() is not None:
        yield
        return
    news: News = (set(), set())
    token = _held_back.set(news)
    try:
        yield
    finally:
        _held_back.reset(token)
    if news[0]:
        _tell(list(news[0]), {*news[1]})


def _tell(units: list[int], aircraft: set[int | None]) -> None:
    if (news := _held_back.get()) is not None:
        news[0].update(units)
        news[1].update(aircraft)
        return
    facts_changed.send(
        sender="equipment",
        unit_ids=sorted(units),
        aircraft_ids=sorted(each for each in aircraft if each is not None),
    )
