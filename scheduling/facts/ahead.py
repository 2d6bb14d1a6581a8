"""What is recorded of aircraft for days to come: status, planned rates, another programme. One query."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from fleet.models import Aircraft as AircraftRow
from fleet.models import Measure
from scheduling.engine.basis.columns import Ahead, Aircraft, Bools, Dates

from .copying import Ints, day, days, first_at, key, read_of

STATUS, RATE, PROGRAMME = range(3)
FLIES, PARKED, LEFT = range(3)
NO_PROGRAMME = -1
TO_COME = """
FROM (
    SELECT aircraft_id, from_on, 0 AS sort, NULL::bigint AS measure_id,
        CASE status WHEN %s THEN 1 WHEN %s THEN 2 ELSE 0 END::bigint AS value
    FROM fleet_aircraftstatus s
    WHERE NOT EXISTS (SELECT FROM fleet_aircraftstatus r WHERE r.replaces_id = s.id)
    UNION ALL SELECT aircraft_id, from_on, 1, measure_id, per_day_milli FROM fleet_plannedrate
    UNION ALL SELECT aircraft_id, from_on, 2, NULL, programme_id FROM scheduling_programmeofaircraft
) x WHERE x.from_on > %s AND (%s::bigint[] IS NULL OR x.aircraft_id = ANY(%s::bigint[]))
ORDER BY x.aircraft_id, x.from_on, x.sort
"""


@dataclass(frozen=True, slots=True)
class Today:
    """Aircraft as they are on the day asked: as the engine takes them, under which programme each is
    entered (also one that has left), and whether it has left the fleet."""

    table: Aircraft
    programme_id: Ints
    has_left: Bools


@dataclass(frozen=True, slots=True)
class ToCome:
    """``use`` as the engine takes it. ``programme_id`` is that of an aircraft (an index) from a later day
    on, in the order of the days; of one that leaves the fleet NO_PROGRAMME from then on."""

    use: Ahead
    aircraft: Ints
    from_on: Dates
    programme_id: Ints

    def days(self) -> list[date]:
        """The days on which an aircraft changes to another programme."""
        found: list[date] = np.unique(self.from_on).tolist()
        return found

    def programmes_on(self, today: Ints, on: date) -> Ints:
        """The programme that each aircraft follows on a later day; ``today`` are those of today."""
        programmes = today.copy()
        by_then = self.from_on <= np.datetime64(on, "D")
        programmes[self.aircraft[by_then]] = self.programme_id[by_then]
        return programmes


def to_come(
    as_of: date, measures: Sequence[Measure], ids: Ints, these: Sequence[int] | None, now: Today
) -> ToCome:
    """What is recorded of these aircraft (None: of all) for days after one. ``now``: as they are then."""
    listed = None if these is None else list(these)
    found = read_of(
        these,
        {
            "aircraft": "x.aircraft_id",
            "from_on": day("x.from_on"),
            "sort": "x.sort::bigint",
            "measure": key("x.measure_id"),
            "value": "x.value",
        },
        TO_COME,
        [AircraftRow.PARKED, AircraftRow.LEFT, as_of, listed, listed],
    )
    craft = first_at(ids, found["aircraft"])
    followed = _followed(found, craft, now)
    return ToCome(
        use=_use(found, craft, measures, now),
        aircraft=np.array([aircraft for _, aircraft, _ in followed], np.int64),
        from_on=days(np.array([on for on, _, _ in followed], np.int64)),
        programme_id=np.array([programme for _, _, programme in followed], np.int64),
    )


def _followed(found: dict[str, Ints], craft: Ints, now: Today) -> list[tuple[int, int, int]]:
    """(day, aircraft, programme) wherever an aircraft comes under another one, or leaves the fleet and
    with it the programme that it follows, in the order of the days."""
    entered, has_left = now.programme_id.tolist(), now.has_left.tolist()
    moved: dict[tuple[int, int], int] = {}
    for row in np.flatnonzero(found["sort"] != RATE).tolist():
        aircraft, value = int(craft[row]), int(found["value"][row])
        if found["sort"][row] == PROGRAMME:
            entered[aircraft] = value
        elif has_left[aircraft] == (value == LEFT):
            continue
        else:
            has_left[aircraft] = value == LEFT
        moved[int(found["from_on"][row]), aircraft] = (
            NO_PROGRAMME if has_left[aircraft] else entered[aircraft]
        )
    return [(on, aircraft, programme) for (on, aircraft), programme in sorted(moved.items())]


def _use(found: dict[str, Ints], craft: Ints, measures: Sequence[Measure], now: Today) -> Ahead:
    """One row for each day on which something changes, with all that holds from then on."""
    column = {measure.pk: index for index, measure in enumerate(measures)}
    stands: dict[int, int] = {}
    rates: dict[int, list[int]] = {}
    rows: dict[tuple[int, int], tuple[int, list[int]]] = {}
    for row in np.flatnonzero(found["sort"] != PROGRAMME).tolist():
        aircraft, on = int(craft[row]), int(found["from_on"][row])
        held = rates.setdefault(aircraft, now.table.per_day_milli[aircraft].tolist())
        stands.setdefault(aircraft, _stands(now, aircraft))
        value = int(found["value"][row])
        if found["sort"][row] == STATUS:
            stands[aircraft] = value
        else:
            held[column[int(found["measure"][row])]] = value
        rows[aircraft, on] = (stands[aircraft], [*held])
    told = np.array([planned for _, planned in rows.values()], np.int64)
    return Ahead.of(
        len(rows),
        measures=len(measures),
        aircraft=[aircraft for aircraft, _ in rows],
        from_on=days(np.array([on for _, on in rows], np.int64)),
        parked=[status == PARKED for status, _ in rows.values()],
        has_left=[status == LEFT for status, _ in rows.values()],
        per_day_milli=told.reshape(len(rows), len(measures)),
    )


def _stands(now: Today, aircraft: int) -> int:
    if now.has_left[aircraft]:
        return LEFT
    return PARKED if now.table.parked[aircraft] else FLIES
