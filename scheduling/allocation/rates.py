"""The aircraft's rates of use, as the due engine takes them: the planner's figure, else the trailing readings."""

from __future__ import annotations

from datetime import date

import numpy as np

from fleet.models import Measure

from ..engine import columns as engine
from ..engine.usage import AircraftTotals
from ..facts.craft import craft_on
from ..matching.facts import Rate
from .counted import counted_on_aircraft


def rates_on(as_of: date, measures: tuple[Measure, ...]) -> dict[int, tuple[Rate, ...]]:
    """Each aircraft's rates in all that is counted on it as of a day; none for one that does not fly. Three questions."""
    craft = craft_on(as_of, measures, with_checks=False)
    many = len(measures)
    facts = engine.Facts(
        measures=tuple(engine.Measure(one.code, one.name) for one in measures),
        units=engine.Units.of(0),
        aircraft=craft.table,
        items=engine.Items.of(0, measures=many),
        readings=craft.readings,
        on_aircraft=engine.OnAircraft.of(0, measures=many),
        in_store=engine.InStore.of(0),
        statements=engine.LifeStatements.of(0),
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
