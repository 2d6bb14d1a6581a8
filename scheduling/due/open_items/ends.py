"""When open items end and their repeat actions fall due: from rows and totals to plain numbers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

import numpy as np

from equipment.models import OpenItem
from fleet.models import Measure
from scheduling.engine.basis.bands import band_of
from scheduling.engine.basis.columns import (
    UNKNOWN,
    Bools,
    Dates,
    Facts,
    InStore,
    Items,
    LifeStatements,
    OnAircraft,
    Units,
)
from scheduling.engine.basis.columns import Measure as Counted
from scheduling.engine.basis.limits import Limit
from scheduling.engine.basis.months import ONE_DAY, day_of
from scheduling.engine.basis.result import Missing, State
from scheduling.engine.clocks.leaving import away
from scheduling.engine.totals.usage import DAY_SECONDS, AircraftTotals, end_of
from scheduling.facts.craft import AircraftFacts, craft_on
from scheduling.facts.measures import hours_of

#: Nothing planned does it by name: it is for any check that does every work.
ANY_WORK = Limit("", "", "", "", "", "unit", ())


@dataclass(slots=True)
class End:
    """One row of the due list about an open item: its last day or, where ``is_repeat``, the day by which
    its action is next due. Totals and what is left in minutes flown."""

    item: OpenItem
    is_repeat: bool
    start_on: date
    due_on: date | None = None
    is_projected: bool = False
    is_past: bool = False
    due_at_minutes: int | None = None
    left_minutes: int | None = None
    missing: int = 0
    worst_on: date | None = None
    band: int = 0
    check_id: int | None = None
    station_id: int | None = None
    since: list[str] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Told:
    """What bands are told by."""

    state: np.ndarray
    is_past: Bools
    due_on: Dates


def open_ends(as_of: date) -> list[End]:
    """Everything that is open on a day, with the bands of that day. One question where nothing is;
    else as many as the facts of aircraft take."""
    parts = ("aircraft", "place__aircraft_position__type_position", "extends")
    found = OpenItem.objects.open_on(as_of).select_related(*parts)
    items = list(found.prefetch_related("actions", "extends__actions").order_by("pk"))
    if not items:
        return []
    measures = tuple(Measure.objects.order_by("pk"))
    craft = craft_on(as_of, measures, [item.aircraft_id for item in items])
    facts = _facts(measures, craft)
    ends = [_last_day(item, as_of) for item in items]
    repeated = [_repeat(item, as_of) for item in items if item.repeat_days or item.repeat_hours]
    _count_hours(repeated, measures, facts, craft)
    ends = [end for end in [*ends, *repeated] if not _is_gone(end, craft)]
    _band(ends, facts, craft)
    return ends


def _is_gone(end: End, craft: AircraftFacts) -> bool:
    """Whether its aircraft has left the fleet, or will have when it would be past its day."""
    [at] = craft.index(np.array([end.item.aircraft_id], np.int64)).tolist()
    if craft.has_left[at]:
        return True
    past_on = None if end.is_past or end.due_on is None else day_of(end.due_on) + ONE_DAY
    return past_on is not None and any(
        one == at and left_on <= past_on < back_on
        for one, left_on, back_on in away(craft.to_come.use)
    )


def _last_day(item: OpenItem, as_of: date) -> End:
    return End(item, False, item.found_on, due_on=item.expires_on, is_past=item.expires_on < as_of)


def _repeat(item: OpenItem, as_of: date) -> End:
    """By the calendar; hours flown are counted afterwards, for all at once."""
    done = [*item.actions.all(), *(item.extends.actions.all() if item.extends else ())]
    days = [each.done_on for each in done if each.done_on <= as_of]
    start = max(days, default=item.found_on)
    due_on = start + timedelta(days=item.repeat_days) if item.repeat_days else None
    return End(item, True, start, due_on=due_on, is_past=due_on is not None and due_on < as_of)


def _facts(measures: Sequence[Measure], craft: AircraftFacts) -> Facts:
    many = len(measures)
    return Facts(
        measures=tuple(Counted(one.code, one.name) for one in measures),
        units=Units.of(0),
        aircraft=craft.table,
        items=Items.of(0, measures=many),
        readings=craft.readings,
        on_aircraft=OnAircraft.of(0, measures=many),
        in_store=InStore.of(0),
        statements=LifeStatements.of(0),
        ahead=craft.to_come.use,
    )


def _count_hours(
    ends: list[End], measures: Sequence[Measure], facts: Facts, craft: AircraftFacts
) -> None:
    """What is left of the hours between two actions, and the day on which they will be flown."""
    counted = [end for end in ends if end.item.repeat_hours]
    flown = hours_of(measures)
    if flown is None or not counted:
        for end in counted:
            _lacks(end, Missing.READING)
        return
    measure = facts.measure_index(flown.code)
    aircraft = craft.index(np.array([end.item.aircraft_id for end in counted], np.int64))
    totals = AircraftTotals(facts, day_of(craft.as_of))
    starts = end_of(np.array([end.start_on for end in counted], "datetime64[D]"))
    began = totals.at(measure, aircraft, starts)
    now = totals.at(measure, aircraft, np.full(len(counted), totals.now))
    every = np.array([60 * (end.item.repeat_hours or 0) for end in counted], np.int64)
    known = (began != UNKNOWN) & (now != UNKNOWN)
    left = np.where(known, began + every - now, 0)
    base_at = totals.rates(measure).base_at[aircraft]
    base_on = ((base_at - 1) // DAY_SECONDS).astype("datetime64[D]")
    days, moves = totals.days_until(measure, aircraft, left, base_on)
    as_of = day_of(craft.as_of)
    last = np.where(
        left < 0, np.minimum(base_on + days, as_of - ONE_DAY), np.maximum(base_on + days, as_of)
    )
    for row, end in enumerate(counted):
        if not known[row]:
            _lacks(end, Missing.READING)
            continue
        end.due_at_minutes, end.left_minutes = int(began[row] + every[row]), int(left[row])
        end.is_past = end.is_past or end.left_minutes < 0
        flown_on = last[row].item() if moves[row] else None
        if flown_on is not None and (end.due_on is None or flown_on < end.due_on):
            end.due_on, end.is_projected = flown_on, True


def _lacks(end: End, fact: Missing) -> None:
    end.missing |= int(fact)
    end.worst_on = end.due_on


def _band(ends: list[End], facts: Facts, craft: AircraftFacts) -> None:
    """The band of each as of any other item, and the check that it is given to."""
    aircraft = craft.index(np.array([end.item.aircraft_id for end in ends], np.int64))
    items = Items.of(
        len(ends),
        measures=len(facts.measures),
        limit=np.zeros(len(ends), np.int64),
        aircraft=aircraft,
    )
    unknown = [bool(end.missing) and not end.is_past for end in ends]
    told = _Told(
        np.where(unknown, State.NO_BASIS, State.RECKONED).astype("int8"),
        np.array([end.is_past for end in ends], bool),
        np.array([end.due_on for end in ends], "datetime64[D]"),
    )
    only = Facts(
        **{name: getattr(facts, name) for name in Facts.__slots__ if name != "items"}, items=items
    )
    bands, checks = band_of([ANY_WORK], only, told, craft.checks, craft.as_of)
    for row, end in enumerate(ends):
        end.band = int(bands[row])
        end.check_id = int(craft.check_ids[checks[row]]) if checks[row] >= 0 else None
        station = int(craft.station_id[aircraft[row]])
        end.station_id = station if station >= 0 else None
