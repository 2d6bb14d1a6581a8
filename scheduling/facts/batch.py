"""A batch: subjects under rules with everything they are reckoned from, ready for the engine."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np

from scheduling.engine.basis import columns
from scheduling.engine.basis.result import Due
from scheduling.engine.clocks.due import reckon

from . import done, subjects
from .copying import Ints
from .craft import AircraftFacts, craft_on
from .last import CLOSED, LastWorks
from .measures import other_codes
from .rules import Rules, rules_on
from .subjects import SPAN, Subjects
from .told import Told, told
from .units import UnitSelection, absorbed_units


@dataclass(frozen=True, slots=True)
class Batch:
    """What the engine is given, and what each of its items stands for; ``fitted_at`` as its units'."""

    as_of: date
    rules: Rules
    craft: AircraftFacts
    facts: columns.Facts
    subjects: Subjects
    fitted_at: Ints

    def reckoned(self) -> Due:
        """What the engine says of each item."""
        return reckon(self.rules.limits, self.facts, self.as_of)


def batch_of_units(
    which: UnitSelection,
    as_of: date,
    *,
    rules: Rules | None = None,
    craft: AircraftFacts | None = None,
) -> Batch:
    """Units under the rules that apply to them on the day: a fixed number of queries for any number.

    ``rules`` and ``craft`` (of all aircraft) are given by who reckons batch after batch.
    """
    rules = rules or rules_on(as_of)
    known = told(which, as_of, rules, craft)
    disposed = done.dispositions(which, rules, as_of)
    shut = np.isin(disposed["sort"], CLOSED)
    found = subjects.unit_subjects(
        known, rules, disposed["rule"][shut] * SPAN + disposed["unit"][shut]
    )
    last = LastWorks(found, rules)
    last.take(done.UNIT, which, as_of)
    last.take_dispositions(disposed)
    return _batch(as_of, rules, known, last)


def batch_of_craft(
    as_of: date,
    *,
    rules: Rules | None = None,
    craft: AircraftFacts | None = None,
    with_populations: bool = True,
) -> Batch:
    """Positions and aircraft (those of ``craft``, else all) under their rules; samples of units."""
    rules = rules or rules_on(as_of)
    craft = craft or craft_on(as_of, rules.measures)
    pieces = [subjects.position_subjects(rules, craft), subjects.craft_subjects(rules, craft)]
    if with_populations:
        pieces.append(subjects.population_subjects(rules))
    found = subjects.together(pieces)
    last = LastWorks(found, rules)
    for column, sort in ((done.POSITION, subjects.POSITION), (done.AIRCRAFT, subjects.AIRCRAFT)):
        ids: Ints = np.unique(found.id[found.sort == sort])
        if len(ids):
            last.take(column, UnitSelection(ids=tuple(ids.tolist())), as_of)
    last.take_populations(as_of)
    return _batch(as_of, rules, told(UnitSelection(ids=()), as_of, rules, craft), last)


def units_listed(unit_ids: list[int] | tuple[int, ...]) -> UnitSelection:
    """These units; of one that was merged into another, that other."""
    absorbed = absorbed_units()
    into = dict(absorbed)
    return UnitSelection(
        ids=tuple(sorted({into.get(unit, unit) for unit in unit_ids})), absorbed=absorbed
    )


def _batch(as_of: date, rules: Rules, known: Told, last: LastWorks) -> Batch:
    items, numbers = last.items()
    facts = columns.Facts(
        measures=_measures(rules),
        units=known.table,
        aircraft=known.craft.table,
        items=items,
        readings=known.craft.readings,
        on_aircraft=known.on_aircraft,
        in_store=known.in_store,
        statements=known.statements,
        methods=rules.methods,
        standards=rules.standards,
        extension_numbers=numbers,
    )
    return Batch(as_of, rules, known.craft, facts, last.subjects, known.fitted_at)


def _measures(rules: Rules) -> tuple[columns.Measure, ...]:
    others = other_codes(rules.measures)
    return tuple(
        columns.Measure(
            code=one.code,
            name=one.name,
            is_hours=one.unit == one.MINUTES,
            of_aircraft=one.counted_on == one.AIRCRAFT,
            is_further=one.counted_on == one.AIRCRAFT and one.code in others,
        )
        for one in rules.measures
    )
