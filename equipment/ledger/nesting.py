"""What is inside a unit and what is around it: said once, through merges and at any depth.

A place inside a unit names the record that it was made for, for good. When that record turns out to be
another unit (a merge), what stands in the place is inside the unit that was kept. So every way in or out
leads over units as kept, never over the place's own column alone; and whoever names a record that was
merged away is told of the unit that it is.

The questions differ only in *when*: what is there now (the column that the ledger keeps), what was there
at an instant, and what ever was (the stays, as our records say now). One question for any number of units.
:meth:`equipment.models.units.UnitQuerySet.inside` is the first step of the way in, as a queryset.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from datetime import datetime
from typing import Any

from django.db import connection

#: No unit is deeper inside another: the promise against loops looks no further either.
DEEPEST = 32
_ASKED = """
    FROM unnest(%(units)s::bigint[]) AS asked (id) JOIN equipment_unit u ON u.id = asked.id"""
# From a unit as kept to the places inside it, whichever of its records they were made for.
_PLACES = """
    FROM inside i
    JOIN equipment_unit o
      ON o.merged_into_id = i.id OR (o.id = i.id AND o.merged_into_id IS NULL)
    JOIN equipment_place p ON p.parent_unit_id = o.id"""
_STAY = "JOIN equipment_stay c ON c.place_id = p.id AND upper_inf(c.known)"

#: For a question to begin with: each of ``%(units)s`` with itself (as kept) and all inside it now, as a
#: table ``inside (root, id)``.
INSIDE_NOW = f"""
WITH RECURSIVE inside (root, id) AS (
    SELECT asked.id, coalesce(u.merged_into_id, u.id){_ASKED}
    UNION
    SELECT i.root, c.id{_PLACES}
    JOIN equipment_unit c ON c.place_id = p.id AND c.merged_into_id IS NULL
)
"""
#: The same of the instant ``%(at)s``.
INSIDE_AT = f"""
WITH RECURSIVE inside (root, id) AS (
    SELECT asked.id, coalesce(u.merged_into_id, u.id){_ASKED}
    UNION
    SELECT i.root, c.unit_id{_PLACES}
    {_STAY} AND c.valid @> %(at)s::timestamptz
)
"""
#: A question of its own: the records of ``%(units)s``, the units that they are, and all ever inside them.
EVER_INSIDE = f"""
WITH RECURSIVE inside (id) AS (
    SELECT own.id{_ASKED}, LATERAL (VALUES (u.id), (u.merged_into_id)) own (id) WHERE own.id IS NOT NULL
    UNION
    SELECT c.unit_id{_PLACES}
    {_STAY}
)
SELECT id FROM inside
"""
#: To begin with: each of ``%(units)s`` (as kept, at depth 0) and what is around it now, outwards, each
#: with the place that it is in, as a table ``around (root, depth, id, place_id)``.
AROUND_NOW = f"""
WITH RECURSIVE around (root, depth, id, place_id) AS (
    SELECT asked.id, 0, k.id, k.place_id{_ASKED}
    JOIN equipment_unit k ON k.id = coalesce(u.merged_into_id, u.id)
    UNION ALL
    SELECT a.root, a.depth + 1, k.id, k.place_id
    FROM around a
    JOIN equipment_place p ON p.id = a.place_id
    JOIN equipment_unit o ON o.id = p.parent_unit_id
    JOIN equipment_unit k ON k.id = coalesce(o.merged_into_id, o.id)
    WHERE a.depth < {DEEPEST}
)
"""
# Itself first: ``inside`` is a set. Row by row, for nobody can estimate how many there are: a join would
# read all units of the fleet.
_EACH = """
SELECT i.root, i.id FROM inside i
ORDER BY i.root,
    i.id <> (SELECT coalesce(u.merged_into_id, u.id) FROM equipment_unit u WHERE u.id = i.root), i.id
"""


def inside_now(unit_ids: Iterable[int]) -> dict[int, list[int]]:
    """Each of these units with itself, as kept, and then all that is inside it now; an unknown one is missing."""
    return _by_root(INSIDE_NOW + _EACH, unit_ids)


def inside_at(unit_ids: Iterable[int], at: datetime) -> dict[int, list[int]]:
    """Each of these units with itself, as kept, and then all that was inside it at an instant, as our
    records say now; an unknown one is missing."""
    return _by_root(INSIDE_AT + _EACH, unit_ids, at=at)


def ever_inside(unit_ids: Iterable[int]) -> set[int]:
    """These units, as named and as kept, and all that our records, as they are now, say was ever inside them."""
    return {unit for (unit,) in _rows(EVER_INSIDE, unit_ids)}


def around_now(unit_ids: Iterable[int]) -> dict[int, list[int]]:
    """Each of these units with itself, as kept, and then what it is inside of now, the nearest first; an
    unknown one is missing."""
    return _by_root(AROUND_NOW + "SELECT root, id FROM around ORDER BY root, depth", unit_ids)


def _by_root(sql: str, unit_ids: Iterable[int], **more: Any) -> dict[int, list[int]]:
    found: dict[int, list[int]] = defaultdict(list)
    for root, unit in _rows(sql, unit_ids, **more):
        found[root].append(unit)
    return dict(found)


def _rows(sql: str, unit_ids: Iterable[int], **more: Any) -> list[tuple[Any, ...]]:
    # Written as PostgreSQL writes an array: of a whole load the driver need not look at each key.
    units = "{" + ",".join(str(unit) for unit in set(unit_ids)) + "}"
    with connection.cursor() as cursor:
        cursor.execute(sql, {"units": units, **more})
        return cursor.fetchall()
