"""What is kept of the ledger, made anew from the ledger alone: compared, and set right where it differs."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from django.db import connection, transaction

from equipment.ledger.replay import Joined, Said, Told, said_of
from equipment.ledger.sql import FITTED

from .derive import PERIOD, RENEW_PERIODS, RENEW_UNITS
from .locks import lock

#: Units taken at once: locked, compared and let go, so that people can go on meanwhile.
AT_ONCE = 5000

# A unit and all that were ever joined with it are compared together.
GROUPS = """
SELECT coalesce(merged_into_id, id) AS kept, array_agg(id) FROM equipment_unit
WHERE coalesce(merged_into_id, id) > %s GROUP BY kept ORDER BY kept LIMIT %s
"""
TOLD = """
SELECT m.id, m.unit_id, m.to_place_id, m.happened_at, m.day_order, m.quantity, m.recorded_at,
       m.is_conforming, m.corrects_id, a.recorded_at
FROM equipment_movement m LEFT JOIN equipment_correction a ON a.movement_id = m.id
WHERE m.unit_id = ANY(%s::bigint[])
"""
# Corrections may lead to a movement of another unit.
CORRECTING = """
WITH RECURSIVE later AS (
    SELECT m.* FROM equipment_movement m JOIN equipment_movement c ON c.id = m.corrects_id
    WHERE c.unit_id = ANY(%s::bigint[])
    UNION
    SELECT m.* FROM later l JOIN equipment_movement m ON m.corrects_id = l.id
)
SELECT m.id, m.unit_id, m.to_place_id, m.happened_at, m.day_order, m.quantity, m.recorded_at,
       m.is_conforming, m.corrects_id, a.recorded_at
FROM later m LEFT JOIN equipment_correction a ON a.movement_id = m.id
"""
JOINED = "SELECT kept_id, absorbed_id, recorded_at FROM equipment_unitmerge WHERE absorbed_id = ANY(%s::bigint[])"
SAID = """
SELECT unit_id, place_id, quantity, lower(valid), upper(valid), lower(known), upper(known), begun_by_id, ended_by_id
FROM equipment_stay WHERE unit_id = ANY(%s::bigint[])
"""
FORGET = "DELETE FROM equipment_stay WHERE unit_id = ANY(%s::bigint[])"
SAY = """
INSERT INTO equipment_stay (unit_id, place_id, capacity, quantity, valid, known, begun_by_id, ended_by_id)
SELECT b.unit_id, b.place_id, p.holds, b.quantity, tstzrange(b.valid_from, b.valid_to),
       tstzrange(b.known_from, b.known_to), b.begun_by, b.ended_by
FROM unnest(%s::bigint[], %s::bigint[], %s::integer[], %s::timestamptz[], %s::timestamptz[],
            %s::timestamptz[], %s::timestamptz[], %s::bigint[], %s::bigint[])
    AS b (unit_id, place_id, quantity, valid_from, valid_to, known_from, known_to, begun_by, ended_by)
JOIN equipment_place p ON p.id = b.place_id
"""
PERIODS = f"""
SELECT 'kept', * FROM (
    (SELECT {PERIOD} FROM equipment_fittedperiod WHERE unit_id = ANY(%(units)s::bigint[]) EXCEPT ALL ({FITTED}))
) kept
UNION ALL
SELECT 'missing', * FROM (
    (({FITTED}) EXCEPT ALL SELECT {PERIOD} FROM equipment_fittedperiod WHERE unit_id = ANY(%(units)s::bigint[]))
) missing
"""
COLUMNS = """
SELECT u.id, u.place_id, s.place_id, u.aircraft_id, f.aircraft_id, u.quantity, coalesce(s.quantity, u.quantity)
FROM equipment_unit u
LEFT JOIN equipment_stay s ON s.unit_id = u.id AND upper_inf(s.known) AND upper_inf(s.valid)
LEFT JOIN equipment_fittedperiod f ON f.unit_id = u.id AND f.to_at IS NULL
WHERE u.id = ANY(%s::bigint[]) AND (u.place_id, u.aircraft_id, u.quantity)
    IS DISTINCT FROM (s.place_id, f.aircraft_id, coalesce(s.quantity, u.quantity))
"""


@dataclass(frozen=True, slots=True)
class Difference:
    """What is kept of a unit that the ledger does not say, or what it says that is not kept."""

    unit_id: int
    what: str


def check_whereabouts(*, is_repairing: bool = False) -> Iterator[Difference]:
    """This will compare all that is kept with the ledger, and set it right if asked to.

    Units in lots of :data:`AT_ONCE`, each lot in its own transaction. When repairing, stays first
    and everywhere; then what is read off them.
    """
    for units in _lots():
        with transaction.atomic():
            lock(places=(), units=units)
            found = list(_stays(units, is_repairing=is_repairing))
        yield from found
    for units in _lots():
        with transaction.atomic():
            lock(places=(), units=units)
            found = list(_periods_and_columns(units, is_repairing=is_repairing))
        yield from found


def _lots() -> Iterator[list[int]]:
    last = 0
    while True:
        with connection.cursor() as cursor:
            cursor.execute(GROUPS, [last, AT_ONCE])
            groups = cursor.fetchall()
        if not groups:
            return
        last = groups[-1][0]
        yield [unit for _, units in groups for unit in units]


def _stays(units: list[int], *, is_repairing: bool) -> Iterator[Difference]:
    with connection.cursor() as cursor:
        cursor.execute(TOLD, [units])
        told = {row[0]: Told._make(row) for row in cursor.fetchall()}
        cursor.execute(CORRECTING, [units])
        told |= {row[0]: Told._make(row) for row in cursor.fetchall()}
        cursor.execute(JOINED, [units])
        merges = [Joined._make(row) for row in cursor.fetchall()]
        cursor.execute(SAID, [units])
        kept = {Said._make(row) for row in cursor.fetchall()}
    of_lot = set(units)
    right = {said for said in said_of(list(told.values()), merges) if said.unit_id in of_lot}
    wrong: dict[int, list[str]] = defaultdict(list)
    for said in kept - right:
        wrong[said.unit_id].append(f"is kept, but the ledger does not say: {_words(said)}")
    for said in right - kept:
        wrong[said.unit_id].append(f"is not kept, but the ledger says: {_words(said)}")
    for unit, differences in wrong.items():
        yield from (Difference(unit, words) for words in differences)
    if is_repairing and wrong:
        _say_again(list(wrong), [said for said in right if said.unit_id in wrong])


def _say_again(units: list[int], right: Sequence[Said]) -> None:
    with connection.cursor() as cursor:
        cursor.execute(FORGET, [units])
        if right:
            cursor.execute(SAY, [list(column) for column in zip(*right, strict=True)])


def _periods_and_columns(units: list[int], *, is_repairing: bool) -> Iterator[Difference]:
    with connection.cursor() as cursor:
        cursor.execute(PERIODS, {"units": units})
        for side, unit, *period in cursor.fetchall():
            words = "is kept, not derived" if side == "kept" else "is derived, not kept"
            yield Difference(unit, f"fitted period {words}: {period}")
        if is_repairing:
            cursor.execute(RENEW_PERIODS, {"units": units})
        cursor.execute(COLUMNS, [units])
        differing = cursor.fetchall()
        for unit, *columns in differing:
            yield Difference(unit, f"place, aircraft, quantity (kept, derived by turns): {columns}")
        if is_repairing and differing:
            cursor.execute(RENEW_UNITS, {"units": [row[0] for row in differing]})


def _words(said: Said) -> str:
    until = said.valid_to.isoformat() if said.valid_to else "further notice"
    known = said.known_to.isoformat() if said.known_to else "now"
    return (
        f"at place {said.place_id} ({said.quantity}) from {said.valid_from.isoformat()} until {until},"
        f" known from {said.known_from.isoformat()} until {known}, by movement {said.begun_by}"
    )
