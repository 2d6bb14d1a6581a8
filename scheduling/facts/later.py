"""Which rules will apply to which subjects from a later day on, as is known today."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from scheduling.engine.basis.columns import Dates

from .copying import Ints
from .craft import AircraftFacts
from .rules import Rule, Rules
from .subjects import SPAN, Subjects, joined
from .told import Told


@dataclass(frozen=True, slots=True)
class FromDay:
    """One later day on which rules change: the keys of those in force then, among all that are to come,
    and the aircraft under the programmes that they follow then."""

    day: date
    among: frozenset[int]
    craft: AircraftFacts

    def units(self, told: Told) -> Told:
        """The units as they are now, under the programmes of that day."""
        who, craft = told.who, self.craft
        if not len(craft.ids):
            return told
        programme = np.where(who.aircraft >= 0, craft.programme_id[who.aircraft], who.programme_id)
        return replace(told, who=replace(who, programme_id=programme), craft=craft)


def rules_to_come(rules: Rules, craft: AircraftFacts) -> Rules | None:
    """Every rule that may ask something new from a later day on; None where nothing changes."""
    now = {rule.id for rule in rules.rules}
    moved = set(craft.to_come.programme_id.tolist())
    found = {
        rule.id: rule
        for _, in_force in _days(rules, craft)
        for rule in in_force
        if rule.id not in now or rule.programme_id in moved
    }
    return rules.only(found.values()) if found else None


def _days(rules: Rules, craft: AircraftFacts) -> Iterator[tuple[date, tuple[Rule, ...]]]:
    """Each later day on which rules or programmes change, with the rules in force then."""
    changes = dict(rules.ahead)
    in_force = rules.rules
    for day in sorted({*changes, *craft.to_come.days()}):
        in_force = changes.get(day, in_force)
        yield day, in_force


def subjects_to_come(
    pair: tuple[Rules, Rules],
    craft: AircraftFacts,
    now: Subjects,
    found_on: Callable[[FromDay], list[Subjects]],
) -> tuple[Subjects, Dates]:
    """The subjects of the rules to come (the second of the pair) that today's do not have already, each
    with the first day on which its rule asks it; sorted by rule, then by key."""
    today, later = pair
    pieces, days = [], []
    for day, in_force in _days(today, craft):
        on = FromDay(day, frozenset(rule.id for rule in in_force), craft.following(day))
        for found in found_on(on):
            pieces.append(found)
            days.append(np.full(len(found), np.datetime64(day, "D")))
    subjects, from_on = joined(pieces), np.concatenate(days)
    keys = _keys(later, subjects)
    order = np.lexsort((from_on, keys))
    order = order[~np.isin(keys[order], _keys(today, now))]
    is_first = np.append(True, keys[order][1:] != keys[order][:-1])[: len(order)]
    kept = order[is_first]
    return subjects.take(kept), from_on[kept]


def _keys(rules: Rules, subjects: Subjects) -> Ints:
    """Limit and subject in one number. Rules are in the order of their limits' keys."""
    limits = np.array([rule.id for rule in rules.rules], np.int64)
    keys: Ints = limits[subjects.rule] * SPAN + subjects.id
    return keys
