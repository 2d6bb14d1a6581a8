"""What an act holds while it reads and writes, always taken in the same order.

First the lock of nesting, where units are put into units; then positions, then units, each in the
order of their keys, before anything is read. So of two people at one position one waits, then
reads what the other did and is told by the rule; nobody meets a deadlock or a bare constraint.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from django.db import connection

from equipment.ledger.arrays import array_of
from equipment.ledger.nesting import ever_inside

# The same number as in the migration of the promises: its trigger takes this lock too.
NESTING_LOCK = 7_204_410

PLACES = "SELECT id FROM equipment_place WHERE id = ANY(%s::bigint[]) AND holds > 0 ORDER BY id FOR UPDATE"
UNITS = "SELECT id FROM equipment_unit WHERE id = ANY(%s::bigint[]) ORDER BY id FOR UPDATE"
LATEST = """
SELECT max(at) FROM (
    SELECT max(greatest(lower(known), upper(known))) AS at FROM equipment_stay WHERE unit_id = ANY(%s::bigint[])
    UNION ALL
    SELECT max(greatest(lower(known), upper(known))) FROM equipment_stay
    WHERE place_id IN (SELECT id FROM equipment_place WHERE id = ANY(%s::bigint[]) AND holds > 0)
) known
"""


def lock(*, places: Iterable[int], units: Iterable[int], is_nesting: bool = False) -> None:
    """This will hold these positions, these units and everything ever inside them."""
    wanted = set(units)
    with connection.cursor() as cursor:
        if is_nesting:
            cursor.execute("SELECT pg_advisory_xact_lock(%s)", [NESTING_LOCK])
        if positions := sorted(set(places)):
            cursor.execute(PLACES, [array_of(positions)])
        held: set[int] = set()
        while wanted - held:
            # What somebody put inside while we waited is held in the next round.
            cursor.execute(UNITS, [array_of(sorted(wanted - held))])
            held |= wanted
            wanted = ever_inside(held)


def not_before_the_last(at: datetime, *, places: Iterable[int], units: Iterable[int]) -> datetime:
    """``at``, or the latest time of record of these units and positions if that is later.

    Clocks of two servers differ; what is recorded later must not be known earlier.
    """
    with connection.cursor() as cursor:
        cursor.execute(LATEST, [array_of(units), array_of(places)])
        (latest,) = cursor.fetchone()
    return at if latest is None else max(at, latest)
