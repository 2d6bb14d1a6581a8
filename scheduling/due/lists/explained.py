"""Due items explained: the engine's sentences beside the row they explain."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date

import numpy as np

from fleet.models import AircraftPosition
from scheduling.engine.telling.explain import explained
from scheduling.facts.batch import Batch, batch_of_craft, batch_of_units, units_listed
from scheduling.facts.craft import craft_on
from scheduling.facts.due_table import items_of, keys_of, table_of
from scheduling.facts.items import AIRCRAFT, POPULATION, POSITION, UNIT, Item, subject_of
from scheduling.facts.rules import rules_on

from .rows import ClockLine, DueRow, Explanation
from .words import rows_of


def explanations(item_ids: Sequence[int], as_of: date) -> list[Explanation]:
    """These items explained as of a day, in their order; those that are none then are left out."""
    found: dict[int, Explanation] = {}
    for batch in batches_of(item_ids, as_of):
        found |= _of_batch(batch, set(item_ids))
    return [found[item] for item in item_ids if item in found]


def explained_units(
    unit_ids: Sequence[int], as_of: date
) -> tuple[list[Item], dict[int, Explanation]]:
    """The due items of these units themselves as of a day, and each explained: one reckoning of both."""
    batch = batch_of_units(units_listed(list(unit_ids)), as_of)
    table = table_of(batch)
    items = items_of(table, range(len(table["id"])))
    return items, _of_batch(batch, {item.id for item in items})


def batches_of(item_ids: Sequence[int], as_of: date) -> Iterator[Batch]:
    """These items with what they are reckoned from: those of units, then of places and aircraft."""
    subjects = [subject_of(item) for item in item_ids]
    units = [subject for subject, _, sort in subjects if sort == UNIT]
    rules = rules_on(as_of)
    if units:
        yield batch_of_units(units_listed(units), as_of, rules=rules)
    if any(sort in (POSITION, AIRCRAFT, POPULATION) for _, _, sort in subjects):
        yield batch_of_craft(as_of, rules=rules, craft=craft_on(as_of, rules.measures))


def _of_batch(batch: Batch, wanted: set[int]) -> dict[int, Explanation]:
    table = table_of(batch)
    place = {
        key: (part, item)
        for part in batch.parts()
        for item, key in enumerate(keys_of(part).tolist())
        if key in wanted
    }
    order = np.flatnonzero(np.isin(table["id"], sorted(place)))
    rows = rows_of(items_of(table, order), as_of=batch.as_of, is_stored=False)
    fitted_at = _fitted_at(batch) if rows else ()
    return {row.id: _explanation(*place[row.id], row, fitted_at) for row in rows}


def _fitted_at(batch: Batch) -> tuple[str, ...]:
    """Registration and position of each period on an aircraft: what its log pages are found by."""
    keys = batch.fitted_at.tolist()
    found = AircraftPosition.objects.filter(pk__in=set(keys)).values_list(
        "pk", "aircraft__registration", "type_position__code"
    )
    words = {key: f"{registration}, {code}" for key, registration, code in found}
    return tuple(words.get(key, "") for key in keys)


def _explanation(batch: Batch, item: int, row: DueRow, fitted_at: tuple[str, ...]) -> Explanation:
    facts = replace(batch.facts, fitted_at=fitted_at)
    from_on = None if batch.from_on is None else batch.from_on[item].item()
    told = explained(batch.rules.limits, facts, item, batch.as_of, from_on)
    return Explanation(
        row=row,
        steps=told.steps,
        others=told.others,
        clocks=[
            ClockLine(
                label=clock.words,
                start_on=clock.start_on,
                due_on=clock.end_on,
                detail=clock.detail,
            )
            for clock in told.clocks
        ],
        document=told.document,
    )
