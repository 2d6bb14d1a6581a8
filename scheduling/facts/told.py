"""What is told of the units of a batch, on one index: the place of each among their sorted keys."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

import numpy as np

from scheduling.engine.basis import columns

from . import in_store, units
from .applies import SPARE, UnitTraits
from .around import outermost
from .copying import NO_DATE, Ints, days, first_at, last_of_each, seconds
from .craft import AircraftFacts, craft_on, measure_index
from .measures import cycles_of, hours_of
from .rules import Rules
from .units import UnitSelection

NONE = -1


@dataclass(frozen=True, slots=True)
class Told:
    """Units in the order of their keys, with where they are on the day. ``fitted_at``: the aircraft
    position that each row of ``on_aircraft`` was at."""

    who: UnitTraits
    craft: AircraftFacts
    stamp: Ints
    line_unit_id: Ints
    station_id: Ints
    table: columns.Units
    on_aircraft: columns.OnAircraft
    in_store: columns.InStore
    statements: columns.LifeStatements
    fitted_at: Ints


def told(
    which: UnitSelection, as_of: date, rules: Rules, craft: AircraftFacts | None = None
) -> Told:
    """The facts of these units as of a day. ``craft``: of all aircraft, where the caller has it;
    else that of the aircraft that these units were ever on is read."""
    found = units.described(which)
    ids = found["id"]
    part, standard = _identity(found, units.identified(which, as_of))
    kinds = units.parts(np.unique(part))
    fitted = _of(units.fitted(which, as_of), ids)
    if craft is None:
        craft = craft_on(as_of, rules.measures, np.unique(fitted["aircraft"]).tolist())
    now = _last_now(fitted, len(ids))
    aircraft = np.where(now >= 0, craft.index(_at(fitted["aircraft"], now)), NONE)
    place = _places(_of(units.stays(which, as_of), ids), ids, aircraft, as_of)
    at_part = first_at(kinds["id"], part)
    who = UnitTraits(
        ids=ids,
        programme_id=_programmes(aircraft, place["sort"], craft),
        part_id=part,
        kind_id=kinds["kind"][at_part],
        standard=_standards(standard, part, rules),
        manufactured_on=days(found["manufactured"]),
        position_id=_at(fitted["position"], now),
        aircraft=aircraft,
    )
    return Told(
        who=who,
        craft=craft,
        stamp=found["stamp"],
        line_unit_id=np.where(now >= 0, _at(fitted["line_unit"], now), place["line_unit"]),
        station_id=np.where(aircraft >= 0, _at(craft.station_id, aircraft), place["station"]),
        table=_table(which, who, found, kinds["life"][at_part], place),
        on_aircraft=_on_aircraft(fitted, craft, rules),
        in_store=_in_store(which, as_of, ids, rules),
        statements=_statements(which, as_of, ids, rules),
        fitted_at=fitted["position"],
    )


def _table(
    which: UnitSelection,
    who: UnitTraits,
    found: Mapping[str, Ints],
    life_of_part: Ints,
    place: Mapping[str, Ints],
) -> columns.Units:
    """The units as the engine takes them; a life stated on one wins over its part number's."""
    return columns.Units.of(
        len(who.ids),
        manufactured_on=who.manufactured_on,
        manufactured_precision=found["precision"],
        stated_life_months=np.where(found["life"] == columns.UNKNOWN, life_of_part, found["life"]),
        first_installed_on=days(place["first_installed"]),
        installed_on=days(place["installed"]),
        aircraft=who.aircraft,
        standard=who.standard,
        new_when_first_recorded=np.isin(who.ids, units.certified_new(which)),
    )


def _at(column: Ints, index: Ints) -> Ints:
    """The column at each index, NONE where the index is."""
    if not len(column):
        return np.full(len(index), NONE, np.int64)
    return np.where(index >= 0, column[index], NONE)


def _of(found: dict[str, Ints], ids: Ints) -> dict[str, Ints]:
    """The rows of units that are in the batch, with ``index`` of each unit in it."""
    index = first_at(ids, found["unit"])
    found["index"] = index
    if (index < 0).any():
        found = {name: column[index >= 0] for name, column in found.items()}
    return found


def _identity(found: dict[str, Ints], identified: dict[str, Ints]) -> tuple[Ints, Ints]:
    """Part and standard of the day: the latest identification by then; before the first, the
    original part; without any, what the unit says."""
    part, standard = found["part"].copy(), found["standard"].copy()
    rows = _of(identified, found["id"])
    part[rows["index"]] = found["original"][rows["index"]]
    standard[rows["index"]] = NONE
    held = {name: column[rows["by_then"] == 1] for name, column in rows.items()}
    last = last_of_each(held["index"])
    part[held["index"][last]] = held["part"][last]
    standard[held["index"][last]] = held["standard"][last]
    return part, standard


def _last_now(fitted: dict[str, Ints], count: int) -> Ints:
    """The row of each unit's present period on an aircraft, NONE where it is on none."""
    now = np.full(count, NONE, np.int64)
    rows = np.flatnonzero(fitted["is_now"])
    now[fitted["index"][rows]] = rows
    return now


def _programmes(aircraft: Ints, sort: Ints, craft: AircraftFacts) -> Ints:
    spare = np.where(sort == units.GONE, NONE, SPARE)
    return np.where(aircraft >= 0, _at(craft.programme_id, aircraft), spare)


def _places(stays: dict[str, Ints], ids: Ints, aircraft: Ints, as_of: date) -> dict[str, Ints]:
    """Sort of place and station of the outermost unit on the day, and what comes off with each that
    is on no aircraft; first and present installation."""
    count, line_unit = len(ids), ids.copy()
    sort, station = np.full(count, NONE, np.int64), np.full(count, NONE, np.int64)
    now = np.flatnonzero(stays["is_now"])
    sort[stays["index"][now]] = stays["sort"][now]
    station[stays["index"][now]] = stays["station"][now]
    is_fitted = (stays["sort"] == units.AIRCRAFT) | (stays["sort"] == units.INSIDE)
    first, present = np.full((2, count), NO_DATE, np.int64)
    ever = np.flatnonzero(is_fitted)[::-1]  # backwards, so that the earliest is written last
    since = np.where(stays["is_by"] == 1, NO_DATE, stays["from_on"])
    first[stays["index"][ever]] = since[ever]
    here = now[is_fitted[now]]
    present[stays["index"][here]] = since[here]
    inner = np.flatnonzero((sort == units.INSIDE) & (aircraft < 0))
    around = outermost(ids[inner].tolist(), as_of)
    for row, unit in zip(inner.tolist(), ids[inner].tolist(), strict=True):
        sort[row], station[row], line_unit[row] = around.get(unit, (NONE, NONE, unit))
    return {
        "sort": sort,
        "station": station,
        "line_unit": line_unit,
        "first_installed": first,
        "installed": present,
    }


def _standards(standard: Ints, part: Ints, rules: Rules) -> Ints:
    """The place of each standard's code. None recorded: "" if the part has no standards at all."""
    plain = rules.standards.index("")
    of_part = np.isin(part, sorted(rules.parts_with_standards))
    found = np.where(of_part, NONE, plain)
    if rules.standard_of:
        keys = np.array(sorted(rules.standard_of), np.int64)
        codes = np.array([rules.standard_of[key] for key in keys.tolist()], np.int64)
        at = first_at(keys, standard)
        found = np.where(at >= 0, codes[at], found)
    return found


def _on_aircraft(fitted: dict[str, Ints], craft: AircraftFacts, rules: Rules) -> columns.OnAircraft:
    count = len(fitted["index"])
    shape = (count, len(rules.measures))
    begun, ended = np.full(shape, columns.UNKNOWN), np.full(shape, columns.UNKNOWN)
    for name, measure in (
        ("minutes", hours_of(rules.measures)),
        ("cycles", cycles_of(rules.measures)),
    ):
        if measure is not None:
            column = rules.measures.index(measure)
            begun[:, column], ended[:, column] = fitted[f"from_{name}"], fitted[f"to_{name}"]
    return columns.OnAircraft.of(
        count,
        measures=len(rules.measures),
        unit=fitted["index"],
        aircraft=craft.index(fitted["aircraft"]),
        from_at=seconds(fitted["from_at"]),
        to_at=seconds(fitted["to_at"]),
        from_total=begun,
        to_total=ended,
    )


def _in_store(which: UnitSelection, as_of: date, ids: Ints, rules: Rules) -> columns.InStore:
    if not rules.need_store:
        return columns.InStore.of(0)
    found = _of(in_store.joined(in_store.in_store(which, as_of)), ids)
    return columns.InStore.of(
        len(found["index"]),
        unit=found["index"],
        from_on=days(found["from_on"]),
        to_on=days(found["to_on"]),
    )


def _statements(
    which: UnitSelection, as_of: date, ids: Ints, rules: Rules
) -> columns.LifeStatements:
    found = _of(units.statements(which, as_of), ids)
    return columns.LifeStatements.of(
        len(found["index"]),
        unit=found["index"],
        measure=measure_index(rules.measures, found["measure"]),
        stated_on=days(found["stated"]),
        total=found["total"],
    )
