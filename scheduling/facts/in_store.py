"""Times of units in stores, themselves or inside others: what a clock may leave uncounted."""

from __future__ import annotations

from datetime import date

import numpy as np

from .copying import NO_DATE, Ints, day, read
from .units import UnitSelection, end_of

# Of :func:`joined`: a day after all, and more days than there are.
FAR_DAY = 10_000_000
SPAN = 1 << 26

IN_STORE_INSIDE = """
FROM (
    WITH RECURSIVE up AS (
        SELECT s.unit_id AS unit, p.sort, coalesce(o.merged_into_id, o.id) AS parent, s.valid,
               0 AS depth, p.station_id
        FROM equipment_stay s JOIN equipment_place p ON p.id = s.place_id
        LEFT JOIN equipment_unit o ON o.id = p.parent_unit_id
        WHERE {where} AND upper_inf(s.known) AND p.sort IN ('store', 'quarantine', 'inside')
        UNION ALL
        SELECT up.unit, p.sort, coalesce(o.merged_into_id, o.id), up.valid * s.valid, up.depth + 1,
               p.station_id
        FROM up JOIN equipment_stay s ON s.unit_id = up.parent AND upper_inf(s.known)
             AND s.valid && up.valid
        JOIN equipment_place p ON p.id = s.place_id
        LEFT JOIN equipment_unit o ON o.id = p.parent_unit_id
        WHERE up.sort = 'inside' AND up.depth < 20
    )
    SELECT up.unit, lower(up.valid) AT TIME ZONE t.time_zone AS from_at,
           upper(up.valid) AT TIME ZONE t.time_zone AS to_at
    FROM up JOIN fleet_station t ON t.id = up.station_id
    WHERE up.sort <> 'inside' AND lower(up.valid) < %s
) k ORDER BY 1, 2, 3
"""


def in_store(which: UnitSelection, as_of: date) -> dict[str, Ints]:
    """Times in stores, itself or inside another unit, sorted by unit and day, not yet joined."""
    where, params = which.within("s.unit_id", with_absorbed=False)
    return read(
        {"unit": "k.unit", "from_on": day("k.from_at::date"), "to_on": day("k.to_at::date")},
        IN_STORE_INSIDE.format(where=where),
        [*params, end_of(as_of)],
    )


def joined(found: dict[str, Ints]) -> dict[str, Ints]:
    """Times in store of one unit that touch or overlap, as one."""
    unit, from_on = found["unit"], found["from_on"]
    if not len(unit):
        return found
    to_on = np.where(found["to_on"] == NO_DATE, FAR_DAY, found["to_on"])
    # The furthest end so far within each unit: sorted, so a running maximum over (unit, end).
    far = np.maximum.accumulate(to_on + unit * SPAN) - unit * SPAN
    fresh = np.ones(len(unit), bool)
    fresh[1:] = (unit[1:] != unit[:-1]) | (from_on[1:] > far[:-1])
    first = np.flatnonzero(fresh)
    last = np.append(first[1:], len(unit)) - 1
    end = far[last]
    return {
        "unit": unit[first],
        "from_on": from_on[first],
        "to_on": np.where(end >= FAR_DAY, NO_DATE, end),
    }
