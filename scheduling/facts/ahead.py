"""What is recorded of aircraft for days to come: status, planned rates, another programme. One query."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from fleet.models import Aircraft as AircraftRow
from fleet.models import Measure
from scheduling.engine.basis.columns import Ahead, Aircraft, Dates

from .copying import Ints, day, days, first_at, key, read

STATUS, RATE, PROGRAMME = range(3)
TO_COME = """
FROM (
    SELECT aircraft_id, from_on, 0 AS sort, NULL::bigint AS measure_id, (status = %s)::int::bigint AS value
    FROM fleet_aircraftstatus
    UNION ALL SELECT aircraft_id, from_on, 1, measure_id, per_day_milli FROM fleet_plannedrate
    UNION ALL SELECT aircraft_id, from_on, 2, NULL, programme_id FROM scheduling_programmeofaircraft
) x WHERE x.from_on > %s AND (%s::bigint[] IS NULL OR x.aircraft_id = ANY(%s::bigint[]))
ORDER BY x.aircraft_id, x.from_on, x.sort
"""


@dataclass(frozen=True, slots=True)
class ToCome:
    """``use`` as the engine takes it. ``programme_id`` is that of an aircraft (an index) from a later day
    on, in the order of the days."""

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
    as_of: date, measures: Sequence[Measure], ids: Ints, these: Sequence[int] | None, now: Aircraft
) -> ToCome:
    """What is recorded of these aircraft (None: of all) for days after one. ``now``: as they are then."""
    listed = None if these is None else list(these)
    found = read(
        {
            "aircraft": "x.aircraft_id",
            "from_on": day("x.from_on"),
            "sort": "x.sort::bigint",
            "measure": key("x.measure_id"),
            "value": "x.value",
        },
        TO_COME,
        [AircraftRow.PARKED, as_of, listed, listed],
    )
    craft = first_at(ids, found["aircraft"])
    other = np.flatnonzero(found["sort"] == PROGRAMME)
    other = other[np.argsort(found["from_on"][other], kind="stable")]
    return ToCome(
        use=_use(found, craft, measures, now),
        aircraft=craft[other],
        from_on=days(found["from_on"][other]),
        programme_id=found["value"][other],
    )


def _use(found: dict[str, Ints], craft: Ints, measures: Sequence[Measure], now: Aircraft) -> Ahead:
    """One row for each day on which something changes, with all that holds from then on."""
    column = {measure.pk: index for index, measure in enumerate(measures)}
    parked: dict[int, int] = {}
    rates: dict[int, list[int]] = {}
    rows: dict[tuple[int, int], tuple[int, list[int]]] = {}
    for row in np.flatnonzero(found["sort"] != PROGRAMME).tolist():
        aircraft, on = int(craft[row]), int(found["from_on"][row])
        held = rates.setdefault(aircraft, now.per_day_milli[aircraft].tolist())
        parked.setdefault(aircraft, int(now.parked[aircraft]))
        value = int(found["value"][row])
        if found["sort"][row] == STATUS:
            parked[aircraft] = value
        else:
            held[column[int(found["measure"][row])]] = value
        rows[aircraft, on] = (parked[aircraft], [*held])
    told = np.array([planned for _, planned in rows.values()], np.int64)
    return Ahead.of(
        len(rows),
        measures=len(measures),
        aircraft=[aircraft for aircraft, _ in rows],
        from_on=days(np.array([on for _, on in rows], np.int64)),
        parked=[is_parked == 1 for is_parked, _ in rows.values()],
        per_day_milli=told.reshape(len(rows), len(measures)),
    )
