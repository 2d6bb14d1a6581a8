"""The due items of units as the engine has them now, whatever the stored list says."""

from __future__ import annotations

from datetime import date

from scheduling.facts.batch import batch_of_units, units_listed
from scheduling.facts.due_table import items_of, table_of
from scheduling.facts.items import Item
from scheduling.facts.rules import rules_on


def reckoned(unit_ids: list[int], on: date) -> list[Item]:
    """The due items of these units as of a day, by the engine, from the facts as they stand now."""
    rules = rules_on(on)
    if not rules.asks:  # no limit is in force: no fact is read to say that nothing is due
        return []
    table = table_of(batch_of_units(units_listed(unit_ids), on, rules=rules))
    return items_of(table, range(len(table["id"])))
