"""What is counted on aircraft, by the names that an allocation knows it by, and how fast it is used up."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from fleet.models import Measure
from scheduling.engine.basis import columns
from scheduling.engine.totals.usage import AircraftTotals
from scheduling.facts.craft import craft_on
from scheduling.facts.measures import cycles_of, hours_of
from scheduling.matching.facts.facts import CYCLES, HOURS, Rate


@dataclass(frozen=True, slots=True)
class Counted:
    """A measure of the aircraft's. ``name`` is ``HOURS`` or ``CYCLES`` for what is flown, else its own;
    ``in_minutes`` of a further one held as hours are."""

    measure: Measure
    name: str
    in_minutes: bool = False


def counted_on_aircraft(measures: Sequence[Measure]) -> dict[str, Counted]:
    """Each measure counted on the aircraft by its code; no two have one name."""
    hours, cycles = hours_of(measures), cycles_of(measures)
    found: dict[str, Counted] = {}
    names = {HOURS, CYCLES}
    for one in measures:
        if one in (hours, cycles):
            found[one.code] = Counted(one, HOURS if one == hours else CYCLES)
        elif one.counted_on == Measure.AIRCRAFT:
            name = f"{one.name} ({one.code})" if one.name in names else one.name
            names.add(name)
            found[one.code] = Counted(one, name, one.unit == Measure.MINUTES)
    return found


def rates_on(as_of: date, measures: tuple[Measure, ...]) -> dict[int, tuple[Rate, ...]]:
    """Each aircraft's rates in all that is counted on it as of a day, as the due engine takes them (the planner's
    figure, else the trailing readings); none for one that does not fly. Three questions."""
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
