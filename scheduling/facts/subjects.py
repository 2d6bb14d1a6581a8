"""Subjects under rules: one row for each due item there is to reckon, by key."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields

import numpy as np

from .applies import craft_under, positions_under, units_under
from .copying import Ints
from .craft import AircraftFacts
from .items import AIRCRAFT, POPULATION, POSITION, UNIT
from .rules import Rule, Rules
from .told import NONE, Told

SPAN = 1 << 40  # more than there are subjects


@dataclass(frozen=True, slots=True)
class Subjects:
    """Columns of keys, NONE for none. ``rule`` points into the rules, ``aircraft`` into the craft,
    ``row`` is the unit's place in its batch. Sorted by rule."""

    rule: Ints
    sort: Ints
    id: Ints
    row: Ints
    unit_id: Ints
    position_id: Ints
    aircraft: Ints
    line_unit_id: Ints
    station_id: Ints
    kind_id: Ints
    part_id: Ints
    unit_stamp: Ints

    def __len__(self) -> int:
        return len(self.rule)

    @property
    def keys(self) -> Ints:
        """Rule and subject in one number, sorted as the rows are where one sort is left."""
        return self.rule * SPAN + self.id

    def take(self, rows: Ints) -> Subjects:
        return Subjects(**{one.name: getattr(self, one.name)[rows] for one in fields(self)})


def unit_subjects(
    told: Told, rules: Rules, shut: Ints, among: frozenset[int] | None = None
) -> Subjects:
    """Units under the rules about units (those of ``among``, by key, where it is given), but those whose
    directive is closed (keys in ``shut``)."""
    pieces = []
    for index, rule in _about(rules, "unit", among):
        rows = units_under(rule, rules, told.who, told.craft)
        if rule.is_directive and len(shut):
            rows = rows[~np.isin(index * SPAN + told.who.ids[rows], shut)]
        pieces.append((index, rows))
    rule_column, rows = _stacked(pieces)
    who = told.who
    return _subjects(
        rule_column,
        UNIT,
        id=who.ids[rows],
        row=rows,
        unit_id=who.ids[rows],
        position_id=who.position_id[rows],
        aircraft=who.aircraft[rows],
        line_unit_id=told.line_unit_id[rows],
        station_id=told.station_id[rows],
        kind_id=who.kind_id[rows],
        part_id=who.part_id[rows],
        unit_stamp=told.stamp[rows],
    )


def position_subjects(
    rules: Rules, craft: AircraftFacts, among: frozenset[int] | None = None
) -> Subjects:
    """Active positions under the rules about positions."""
    about = _about(rules, "position", among)
    if not about:
        return _subjects(np.empty(0, np.int64), POSITION)
    pieces = [(index, positions_under(rule, craft)) for index, rule in about]
    rule_column, rows = _stacked(pieces)
    positions = craft.positions
    return _subjects(
        rule_column,
        POSITION,
        id=positions.ids[rows],
        position_id=positions.ids[rows],
        aircraft=positions.aircraft[rows],
        kind_id=positions.kind_id[rows],
        station_id=craft.station_id[positions.aircraft[rows]],
    )


def craft_subjects(
    rules: Rules, craft: AircraftFacts, among: frozenset[int] | None = None
) -> Subjects:
    """Aircraft under the rules about aircraft."""
    about = _about(rules, "aircraft", among)
    pieces = [(index, craft_under(rule, craft)) for index, rule in about]
    rule_column, rows = _stacked(pieces)
    return _subjects(
        rule_column, AIRCRAFT, id=craft.ids[rows], aircraft=rows, station_id=craft.station_id[rows]
    )


def population_subjects(rules: Rules, among: frozenset[int] | None = None) -> Subjects:
    """One for each rule about a sample of units. Its own key is nought: the limit names it."""
    found = _about(rules, "population", among)
    rule_column = np.array([index for index, _ in found], np.int64)
    kinds = [rule.kind_id or NONE for _, rule in found]
    return _subjects(
        rule_column,
        POPULATION,
        id=np.zeros(len(found), np.int64),
        kind_id=np.array(kinds, np.int64),
    )


def together(several: Sequence[Subjects]) -> Subjects:
    """Subjects of different sorts in one table, sorted by rule."""
    found = joined(several)
    return found.take(np.argsort(found.rule, kind="stable"))


def joined(several: Sequence[Subjects]) -> Subjects:
    """One table after the other."""
    return Subjects(
        **{
            one.name: np.concatenate([getattr(part, one.name) for part in several])
            for one in fields(Subjects)
        }
    )


def _about(
    rules: Rules, subject: str, among: frozenset[int] | None = None
) -> list[tuple[int, Rule]]:
    return [
        (index, rule)
        for index, rule in enumerate(rules.rules)
        if rule.limit.subject == subject and (among is None or rule.id in among)
    ]


def _stacked(pieces: Iterable[tuple[int, Ints]]) -> tuple[Ints, Ints]:
    found = list(pieces)
    if not found:
        return np.empty(0, np.int64), np.empty(0, np.int64)
    rule_column = np.repeat([index for index, _ in found], [len(rows) for _, rows in found])
    return rule_column.astype(np.int64), np.concatenate([rows for _, rows in found])


def _subjects(rule: Ints, sort: int, **columns: Ints) -> Subjects:
    count = len(rule)
    none = {one.name: np.full(count, NONE, np.int64) for one in fields(Subjects)}
    none |= {"rule": rule, "sort": np.full(count, sort, np.int64)}
    none["unit_stamp"] = np.zeros(count, np.int64)
    return Subjects(**(none | columns))
