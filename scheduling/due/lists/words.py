"""From due items and the names behind their keys to the rows that are read."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

from equipment.models import Unit
from fleet.models import Aircraft
from fleet.words.said import day_words
from scheduling.engine.basis.bands import Band
from scheduling.engine.telling.flags import UNSHOWN, Flag, flag_words, missing_words
from scheduling.facts.items import Item
from scheduling.models import Clock

from .names import Names, Row, names_of
from .nested import TakenOff, first_inside, taken_off_by
from .rows import DueRow
from .scope import BAND_CODES

NOTHING: Row = {}


def rows_of(items: list[Item], *, as_of: date, is_stored: bool) -> list[DueRow]:
    """The rows of these items, in their order. Only stored ones can be stale."""
    inside = taken_off_by(items, as_of, is_stored)
    names = names_of(items, [one.unit_id for one in inside.values()])
    rows = [row_of(item, names, as_of, is_stored) for item in items]
    return [
        replace(row, notes=(*row.notes, *_comes_off(item, names, inside)))
        for row, item in zip(rows, items, strict=True)
    ]


def _comes_off(item: Item, names: Names, inside: dict[int, TakenOff]) -> tuple[str, ...]:
    """Which unit comes off for an item of one inside it; and of one that comes off as it is, what inside
    it takes it off before its own day."""
    if item.line_unit_id is None:
        return ()
    if item.line_unit_id != item.unit_id:
        return (f"{_named(names, item.line_unit_id)} comes off for it",)
    first = inside.get(item.line_unit_id)
    if first is None or (item.due_on is not None and first.by_on >= item.due_on):
        return ()
    what = f"{first.work} of {_named(names, first.unit_id)} inside it"
    return (f"comes off by {day_words(first.by_on)} for {what}",)


def taken_off_words(unit_id: int, rows: list[DueRow], as_of: date, is_stored: bool) -> str:
    """What inside a unit takes it off before all that these rows say of itself; empty for nothing."""
    first = first_inside([unit_id], as_of, is_stored).get(unit_id)
    own = min((row.due_on for row in rows if row.due_on), default=None)
    if first is None or (own is not None and first.by_on >= own):
        return ""
    unit = Unit.objects.select_related("part_number").get(pk=first.unit_id)
    named = f"{unit.part_number.number} S/N {unit.serial_number}"
    return f"Comes off by {day_words(first.by_on)} for {first.work} of {named} inside it."


def _named(names: Names, unit_id: int) -> str:
    unit = names.units.get(unit_id, NOTHING)
    return f"{unit.get('part_number__number', '')} S/N {unit.get('serial_number', '')}"


def row_of(item: Item, names: Names, as_of: date, is_stored: bool) -> DueRow:
    """One item in words. What is left in days is counted to ``as_of``: the rest stands as stored."""
    limit = names.limits.get(item.limit_id, NOTHING)
    return DueRow(
        id=item.id,
        band=BAND_CODES[item.band],
        work=limit.get("work__name", ""),
        limit=limit.get("code", ""),
        **_place_of(item, names),
        **_units_of(item, names),
        **_dates_of(item, as_of),
        due_at_minutes=item.due_at_minutes,
        due_at_cycles=item.due_at_cycles,
        due_at_other=item.due_at_other,
        **_other_measure(item, names),
        decided_by=_decided_by(item, names),
        left_minutes=item.left_minutes,
        left_cycles=item.left_cycles,
        left_other=item.left_other,
        missing=missing_words(item.missing),
        notes=(
            *_by_what(item, limit),
            *_leaves(item, names, as_of),
            *_unshown(item),
            *flag_words(item.flags),
        ),
        **_checks_of(item, names),
        grounds_aircraft=bool(item.flags & Flag.GROUNDS),
        is_stale=is_stored and is_stale(item, names),
    )


def _by_what(item: Item, limit: Row) -> tuple[str, ...]:
    """The rule that it falls due by, where that is in force from a later day on only."""
    since = item.rule_from_on
    if since is None:
        return ()
    if limit.get("from_on") == since:
        return (f"by revision {limit['revision']}, in force from {day_words(since)}",)
    return (f"by programme {limit.get('programme__code', '')}, followed from {day_words(since)}",)


def _leaves(item: Item, names: Names, as_of: date) -> tuple[str, ...]:
    """Of what falls due on an aircraft that will be leased out by then, or will have left: since when."""
    aircraft = names.aircraft.get(item.aircraft_id or 0, NOTHING)
    leaves_on = aircraft.get("leaves_on")
    if leaves_on is None or leaves_on <= as_of:
        return ()
    if aircraft["leaves_as"] == Aircraft.LEFT:
        is_asked = item.band != Band.QUIET or item.due_on is None
        on = day_words(leaves_on)
        return () if is_asked else (f"not asked: the aircraft leaves the fleet on {on}",)
    if item.due_on and item.due_on < leaves_on:
        return ()
    return (f"the aircraft leaves on {day_words(leaves_on)}: leased out",)


def _unshown(item: Item) -> tuple[str, ...]:
    """Of what grounds its aircraft without being known to be past: why."""
    grounds = item.flags & Flag.GROUNDS and item.band == Band.NO_BASIS
    return (UNSHOWN,) if grounds else ()


def is_stale(item: Item, names: Names) -> bool:
    """Whether a fact changed after the item was reckoned, or a run that shall redo it is waiting."""
    if names.open_run_from is not None and (item.unit_id or 0) >= names.open_run_from:
        return True
    owners = (
        (item.unit_stamp, names.units.get(item.unit_id or 0, NOTHING), "facts_stamp"),
        (item.aircraft_stamp, names.aircraft.get(item.aircraft_id or 0, NOTHING), "facts_stamp"),
        (item.programme_stamp, names.limits.get(item.limit_id, NOTHING), "programme__facts_stamp"),
    )
    return any(owner.get(name, stamp) != stamp for stamp, owner, name in owners)


def _place_of(item: Item, names: Names) -> dict[str, Any]:
    position = names.positions.get(item.position_id or 0, NOTHING)
    return {
        "registration": names.aircraft.get(item.aircraft_id or 0, NOTHING).get("registration", ""),
        "aircraft_id": item.aircraft_id,
        "station": names.stations.get(item.station_id or 0, ""),
        "position": position.get("type_position__code", ""),
        "position_name": position.get("type_position__name", ""),
        "inside": " / ".join(names.inside.get(item.unit_id or 0, [])),
    }


def _units_of(item: Item, names: Names) -> dict[str, Any]:
    unit = names.units.get(item.unit_id or 0, NOTHING)
    is_inner = item.line_unit_id != item.unit_id
    line = names.units.get(item.line_unit_id or 0, NOTHING) if is_inner else NOTHING
    return {
        "unit_id": item.unit_id,
        "part_number": unit.get("part_number__number", ""),
        "serial_number": unit.get("serial_number", ""),
        "description": unit.get("part_number__description", ""),
        "maker": unit.get("part_number__maker__code", ""),
        "line_unit_id": item.line_unit_id if is_inner else None,
        "line_part_number": line.get("part_number__number", ""),
        "line_serial_number": line.get("serial_number", ""),
    }


def _dates_of(item: Item, as_of: date) -> dict[str, Any]:
    return {
        "start_on": item.start_on,
        "due_on": item.due_on,
        "until_on": item.until_on,
        "is_projected": item.due_on_projected,
        "left_days": (item.due_on - as_of).days if item.due_on else None,
        "worst_on": item.worst_on,
    }


def _checks_of(item: Item, names: Names) -> dict[str, Any]:
    checks = names.checks.get(item.aircraft_id or 0, [])
    planned = next((check for check in checks if check.pk == item.check_planned_id), None)
    return {
        "check_id": planned.pk if planned else None,
        "check_name": planned.name if planned else "",
        "check_starts_on": planned.starts_on if planned else None,
        "checks": tuple(
            (check.starts_on, check.name) for check in checks if check.is_whole or check is planned
        ),
    }


def _clock_of(item: Item, names: Names) -> Clock | None:
    clocks = names.clocks.get(item.limit_id, [])
    return next((clock for clock in clocks if clock.seq == item.decided_by), None)


def _decided_by(item: Item, names: Names) -> str:
    clock = _clock_of(item, names)
    if clock is None:
        return ""
    return names.measures.get(clock.measure, clock.measure)


def _other_measure(item: Item, names: Names) -> dict[str, Any]:
    """Which measure is neither flight hours nor flight cycles, if a clock counts one: of several that
    of the clock that decides, else the first one's, as the engine tells them."""
    own = [c for c in names.clocks.get(item.limit_id, []) if c.measure in names.other_measures]
    if item.due_at_other is None or not own:
        return {}
    measure = next((c.measure for c in own if c.seq == item.decided_by), own[0].measure)
    return {
        "other_measure": names.measures.get(measure, measure),
        "other_is_hours": measure in names.hours,
    }
