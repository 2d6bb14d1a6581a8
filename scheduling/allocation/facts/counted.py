"""What is counted on aircraft, by the names that an allocation knows it by."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from fleet.models import Measure
from scheduling.facts.measures import cycles_of, hours_of
from scheduling.matching.facts.facts import CYCLES, HOURS


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
