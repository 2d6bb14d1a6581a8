"""The aircraft's rates of use, as the due engine takes them: the planner's figure, else the trailing readings."""

from __future__ import annotations

from datetime import date

import numpy as np

from fleet.models import Measure
from scheduling.engine.basis import columns
from scheduling.engine.totals.usage import AircraftTotals
from scheduling.facts.craft import craft_on
from scheduling.matching.facts.facts import Rate

from .counted import counted_on_aircraft


def rates_on(as_of: date, measures: tuple[Measure, ...]) -> dict[int, tuple[Rate, ...]]:
    """Each aircraft's rates in all that is counted on it as of a day; none for one that does not fly. Three questions."""
    craft = craft_on(as_of, measures, with_checks=False)
    many = len(measures)
    facts = columns.Facts(
        measures=tuple(columns.Measure(one.code, one.name) for one in measures),
        units=columns.Units.of(0),
        aircraft=craft.table,
        items=columns.Items.of(0, measures=many),
        readings=craft.readings,
        on_aircraft=columns.OnAircraft.of(0, measures=many),
        in_store=columns.InStore.of(0),
        statements=columns.LifeStatements.of(0),
    )
    totals = AircraftTotals(facts, np.datetime64(as_of, "D"))
    found: dict[int, list[Rate]] = {key: [] for key in craft.ids.tolist()}
    for counted in counted_on_aircraft(measures).values():
        rates = totals.rates(measures.index(counted.measure))
        each = zip(craft.ids.tolist(), rates.gain.tolist(), rates.span.tolist(), strict=True)
        for key, gain, span in each:
            if gain > 0:
                found[key].append(Rate(counted.name, gain, span))
    return {key: tuple(several) for key, several in found.items()}
