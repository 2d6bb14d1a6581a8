"""The last work under each rule on each subject, and the extension that holds since."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np

from equipment.models import Unit
from scheduling.engine.basis import columns
from scheduling.engine.clocks.originals import asks_original
from scheduling.facts.applies import population_rows
from scheduling.facts.copying import NO_DATE, Ints, days, first_at
from scheduling.facts.measures import cycles_of, hours_of
from scheduling.facts.rules import Rules
from scheduling.facts.subjects import SPAN, Subjects
from scheduling.facts.units import UnitSelection

from . import done

DATES = {
    "done_on": "done",
    "released_on": "released",
    "shop_released_on": "shop_released",
    "original_due_on": "original_due",
}
CLOSED = [done.DISPOSITIONS.index(sort) for sort in done.CLOSED]
AS_DONE = [done.DISPOSITIONS.index(sort) for sort in done.AS_DONE]


@dataclass(frozen=True, slots=True)
class History:
    """Every work of some items (their places), each item's together and the earliest first."""

    item: Ints
    works: columns.Items


class LastWorks:
    """Columns of ``engine.Items`` that tell the last work, one row per subject; mutable while built."""

    def __init__(self, subjects: Subjects, rules: Rules) -> None:
        count = len(subjects)
        self.subjects, self.rules = subjects, rules
        self.dates = {name: np.full(count, NO_DATE, np.int64) for name in DATES}
        self.precision = np.zeros(count, np.int64)
        self.method = np.full(count, -1, np.int64)
        self.totals = np.full((count, len(rules.measures)), columns.UNKNOWN)
        self.originals = np.full((count, len(rules.measures)), columns.UNKNOWN)
        self.histories: list[History] = []
        self.keeps_originals = {
            place for place, rule in enumerate(rules.rules) if asks_original(rule.limit)
        }
        self.extended = np.zeros((3, count), np.int64)
        self.extension_id = np.full(count, -1, np.int64)

    def take(self, column: str, which: UnitSelection, as_of: date) -> None:
        """This will fill in works and extensions of the subjects that ``column`` names."""
        whose = done.Subjects(column, which)
        mine = np.flatnonzero(self.subjects.sort == done.SORT_OF[column])
        found = done.works(whose, self.rules, as_of)
        latest = done.restarts(found, self.rules.rules)
        keys = latest["rule"] * SPAN + latest["subject"]
        at = first_at(keys, self.subjects.keys[mine])
        self._fill(mine[at >= 0], found, latest["row"][at[at >= 0]])
        self._remember(mine, found)
        self._extend(mine, whose, as_of)

    def _fill(self, items: Ints, found: dict[str, Ints], rows: Ints) -> None:
        for name, column in DATES.items():
            self.dates[name][items] = found[column][rows]
        self.precision[items] = found["precision"][rows]
        self.method[items] = found["method"][rows]
        measures = self.rules.measures
        for name, measure in (("minutes", hours_of(measures)), ("cycles", cycles_of(measures))):
            if measure is not None:
                place = measures.index(measure)
                self.totals[items, place] = found[name][rows]
                self.originals[items, place] = found[f"original_{name}"][rows]

    def _remember(self, mine: Ints, found: dict[str, Ints]) -> None:
        """This will keep every work under the rules that may count from when the last one was due."""
        if not self.keeps_originals:
            return
        every = done.restarts(found, self.rules.rules, self.keeps_originals)
        at = first_at(self.subjects.keys[mine], every["rule"] * SPAN + every["subject"])
        known = at >= 0
        items, rows = mine[at[known]], every["row"][known]
        if len(items):
            self.histories.append(History(items, self._works(items, found, rows)))

    def _works(self, items: Ints, found: dict[str, Ints], rows: Ints) -> columns.Items:
        """Each of these works as if it were the last one of its item."""
        other = LastWorks(self.subjects.take(items), self.rules)
        other._fill(np.arange(len(items)), found, rows)
        return other.items()[0]

    def _extend(self, mine: Ints, whose: done.Subjects, as_of: date) -> None:
        """An extension holds for the interval that ran when it was granted: a later work ends it."""
        found = done.extensions(whose, self.rules, as_of)
        place = {
            key: item
            for key, item in zip(self.subjects.keys[mine].tolist(), mine.tolist(), strict=True)
        }
        for row, key in enumerate((found["rule"] * SPAN + found["subject"]).tolist()):
            item = place.get(key)
            if item is None or self.dates["done_on"][item] > found["granted"][row]:
                continue
            for index, name in enumerate(("days", "minutes", "count")):
                self.extended[index, item] += found[name][row]
            self.extension_id[item] = found["id"][row]

    def take_dispositions(self, found: dict[str, Ints]) -> None:
        """A directive complied with, or met by alternative means, was done on that day."""
        rows = np.flatnonzero(np.isin(found["sort"], AS_DONE))
        at = first_at(self.subjects.keys, found["rule"][rows] * SPAN + found["unit"][rows])
        rows, at = rows[at >= 0], at[at >= 0]
        later = found["on"][rows] > self.dates["done_on"][at]
        items = at[later]
        for name in DATES:
            self.dates[name][items] = NO_DATE
        self.dates["done_on"][items] = found["on"][rows[later]]
        self.precision[items], self.method[items] = 0, -1
        self.totals[items] = self.originals[items] = columns.UNKNOWN

    def take_populations(self, as_of: date) -> None:
        """Of a sample the quota-th latest work on any of its units: the oldest that still counts."""
        codes = done.codes_of(self.rules.rules)
        for item in np.flatnonzero(self.subjects.sort == done.POPULATION_SORT).tolist():
            rule = self.rules.rules[int(self.subjects.rule[item])]
            units = tuple(population_rows(rule, Unit.objects.order_by("pk")))
            whose = done.Subjects(done.UNIT, UnitSelection(ids=units))
            found = done.works(whose, self.rules, as_of, sorted(rule.work_ids))
            of_rule = done.meant_for(codes.index(rule.limit.code), found["code"])
            found = {name: column[of_rule] for name, column in found.items()}
            by_day = np.lexsort((found["id"], found["done"]))
            quota = rule.limit.quota or 1
            if len(by_day) >= quota:
                self._fill(np.array([item]), found, by_day[-quota:][:1])
                self.totals[item] = self.originals[item] = columns.UNKNOWN

    def items(self) -> tuple[columns.Items, tuple[str, ...]]:
        """The engine's items, and the numbers of the extensions that they point to."""
        ids = np.unique(self.extension_id[self.extension_id >= 0])
        subjects = self.subjects
        table = columns.Items.of(
            len(subjects),
            measures=len(self.rules.measures),
            limit=subjects.rule,
            unit=subjects.row,
            aircraft=np.where(subjects.row >= 0, -1, subjects.aircraft),
            done_precision=self.precision,
            method=self.method,
            done_total=self.totals,
            original_due_total=self.originals,
            extension_days=self.extended[0],
            extension_minutes=self.extended[1],
            extension_count=self.extended[2],
            extension=first_at(ids, self.extension_id),
            **{name: days(column) for name, column in self.dates.items()},
        )
        return table, done.extension_numbers(ids)
