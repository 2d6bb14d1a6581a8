"""A batch: subjects under rules with everything they are reckoned from, ready for the engine."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from scheduling.engine.basis import columns
from scheduling.engine.basis.result import Due
from scheduling.engine.clocks.ahead import asked_from
from scheduling.engine.clocks.due import reckon
from scheduling.engine.clocks.leaving import while_in_fleet

from . import subjects
from .copying import Ints
from .craft import AircraftFacts, craft_on
from .later import rules_to_come, subjects_to_come
from .measures import other_codes
from .rules import Rules, rules_on
from .subjects import SPAN, Subjects
from .told import Told, told
from .units import UnitSelection, absorbed_units
from .works import done
from .works.last import CLOSED, LastWorks
from .works.originals import with_originals


@dataclass(frozen=True, slots=True)
class Batch:
    """What the engine is given, and what each of its items stands for; ``fitted_at`` as its units'.

    ``later``: the items of rules that are in force from a later day on, None where none are known;
    ``from_on`` is that day of each of its items.
    """

    as_of: date
    rules: Rules
    craft: AircraftFacts
    facts: columns.Facts
    subjects: Subjects
    fitted_at: Ints
    from_on: columns.Dates | None = None
    later: Batch | None = None

    def parts(self) -> list[Batch]:
        """This batch, and that of the rules to come where there is one."""
        return [self] if self.later is None else [self, self.later]

    def reckoned(self) -> Due:
        """What the engine says of each item, of one under a rule to come as seen today."""
        due = reckon(self.rules.limits, self.facts, self.as_of)
        if self.from_on is not None:
            due = asked_from(due, self.from_on, self.as_of)
        return while_in_fleet(due, self.facts, self.as_of)


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
    found = subjects.unit_subjects(known, rules, _shut(disposed))
    now = _of_units(which, rules, known, (found, disposed))
    return replace(now, later=_units_to_come(which, now, known))


def _units_to_come(which: UnitSelection, now: Batch, known: Told) -> Batch | None:
    """The same units under the rules that are in force from a later day on."""
    later = rules_to_come(now.rules, known.craft)
    if later is None:
        return None
    disposed = done.dispositions(which, later, now.as_of)
    shut = _shut(disposed)
    found, from_on = subjects_to_come(
        (now.rules, later),
        known.craft,
        now.subjects,
        lambda on: [subjects.unit_subjects(on.units(known), later, shut, on.among)],
    )
    made = _of_units(which, later, known, (found, disposed))
    return replace(made, from_on=from_on)


def _shut(disposed: Mapping[str, Ints]) -> Ints:
    """Rule and unit of each directive that is closed, in one number."""
    is_shut = np.isin(disposed["sort"], CLOSED)
    keys: Ints = disposed["rule"][is_shut] * SPAN + disposed["unit"][is_shut]
    return keys


def _of_units(
    which: UnitSelection, rules: Rules, known: Told, asked: tuple[Subjects, dict[str, Ints]]
) -> Batch:
    found, disposed = asked
    as_of = known.craft.as_of
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
    known = told(UnitSelection(ids=()), as_of, rules, craft)
    now = _of_craft(as_of, rules, known, subjects.together(pieces))
    later = rules_to_come(rules, craft)
    if later is None:
        return now
    found, from_on = subjects_to_come(
        (rules, later),
        craft,
        now.subjects,
        lambda on: [
            subjects.position_subjects(later, on.craft, on.among),
            subjects.craft_subjects(later, on.craft, on.among),
            subjects.population_subjects(later, on.among if with_populations else frozenset()),
        ],
    )
    return replace(now, later=replace(_of_craft(as_of, later, known, found), from_on=from_on))


def _of_craft(as_of: date, rules: Rules, known: Told, found: Subjects) -> Batch:
    last = LastWorks(found, rules)
    for column, sort in ((done.POSITION, subjects.POSITION), (done.AIRCRAFT, subjects.AIRCRAFT)):
        ids: Ints = np.unique(found.id[found.sort == sort])
        if len(ids):
            last.take(column, UnitSelection(ids=tuple(ids.tolist())), as_of)
    last.take_populations(as_of)
    return _batch(as_of, rules, known, last)


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
        ahead=known.craft.to_come.use,
    )
    facts = with_originals(rules.limits, facts, last.histories, as_of)
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
