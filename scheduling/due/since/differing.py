"""Which items differ between the kept list and the one that stands: asked of the database, the first of each sort."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

from django.db import connection

from scheduling.engine.basis.bands import Band
from scheduling.facts.items import LIMIT_BITS, SORT_BITS

# An item is the same through revisions of its limit: by its subject, the programme and the limit's code. What only
# the aircraft's use has moved, in the same band, is of a sort of its own: it is most of a fleet, every day.
DIFFERING = f"""
WITH was AS (
  SELECT b.*, l.programme_id, upper(l.code) AS code, CASE WHEN b.aircraft_id IS NULL THEN b.station_id END AS shelf
  FROM scheduling_itembefore b JOIN scheduling_limit l ON l.id = b.limit_id
), stands AS (
  SELECT d.*, l.programme_id, upper(l.code) AS code, CASE WHEN d.aircraft_id IS NULL THEN d.station_id END AS shelf
  FROM scheduling_dueitem d JOIN scheduling_limit l ON l.id = d.limit_id WHERE d.band <> %(quiet)s
), differs AS (
  SELECT w.id AS was_id, n.id AS now_id, coalesce(n.band, w.band) AS band, coalesce(n.sort_on, w.sort_on) AS sort_on,
    CASE WHEN w.id IS NULL THEN 'new' WHEN n.id IS NULL THEN 'gone'
      WHEN w.due_on_projected AND n.due_on_projected AND w.limit_id = n.limit_id
        AND (w.band, w.start_on, w.aircraft_id, w.position_id, w.shelf, w.missing, w.due_at_minutes, w.due_at_cycles,
          w.due_at_other) IS NOT DISTINCT FROM (n.band, n.start_on, n.aircraft_id, n.position_id, n.shelf, n.missing,
          n.due_at_minutes, n.due_at_cycles, n.due_at_other) THEN 'use'
      ELSE 'moved' END AS sort
  FROM was w FULL JOIN stands n ON w.id >> {LIMIT_BITS + SORT_BITS} = n.id >> {LIMIT_BITS + SORT_BITS}
    AND w.id & {(1 << SORT_BITS) - 1} = n.id & {(1 << SORT_BITS) - 1}
    AND w.programme_id = n.programme_id AND w.code = n.code
  WHERE w.id IS NULL OR n.id IS NULL
    OR (w.band, w.due_on, w.worst_on, w.until_on, w.aircraft_id, w.position_id, w.shelf) IS DISTINCT FROM
      (n.band, n.due_on, n.worst_on, n.until_on, n.aircraft_id, n.position_id, n.shelf)
    OR (n.start_on IS NOT NULL AND w.start_on IS DISTINCT FROM n.start_on)
)
SELECT sort, was_id, now_id, total FROM (
  SELECT *, count(*) OVER (PARTITION BY sort) AS total,
    row_number() OVER (PARTITION BY sort ORDER BY band, sort_on, coalesce(now_id, was_id)) AS place
  FROM differs
) ranked WHERE place <= %(most)s ORDER BY sort, place
"""


class Pair(NamedTuple):
    """An item by its key before and now; None: it is not on that list."""

    was_id: int | None
    now_id: int | None


@dataclass(frozen=True, slots=True)
class Differing:
    """By sort (``new``, ``gone``, ``moved``, ``use``): the most urgent first, and how many there are."""

    pairs: dict[str, list[Pair]] = field(default_factory=dict)
    totals: dict[str, int] = field(default_factory=dict)

    def ids(self, is_now: bool) -> list[int]:
        pairs = [pair for sort in ("new", "gone", "moved") for pair in self.pairs.get(sort, [])]
        keys = [pair.now_id if is_now else pair.was_id for pair in pairs]
        return [key for key in keys if key is not None]


def differing(most: int) -> Differing:
    """What differs, ``most`` of each sort. One question."""
    found = Differing()
    with connection.cursor() as cursor:
        cursor.execute(DIFFERING, {"quiet": int(Band.QUIET), "most": most})
        for sort, was_id, now_id, total in cursor.fetchall():
            found.pairs.setdefault(sort, []).append(Pair(was_id, now_id))
            found.totals[sort] = total
    return found
