"""Which measures are the aircraft's flight hours and flight cycles, and which are others."""

from __future__ import annotations

from collections.abc import Sequence

from fleet.models import Measure


def hours_of(measures: Sequence[Measure]) -> Measure | None:
    """The aircraft's flight hours: what ``aircraft_minutes`` of a movement and ``due_at_minutes`` of
    an item mean."""
    return _known(measures, Measure.MINUTES, Measure.FLIGHT_HOURS, ("flight hours", "hours"))


def cycles_of(measures: Sequence[Measure]) -> Measure | None:
    """The aircraft's flight cycles: what ``aircraft_cycles`` of a movement and ``due_at_cycles`` of
    an item mean."""
    return _known(measures, Measure.COUNT, Measure.FLIGHT_CYCLES, ("flight cycles", "cycles"))


def other_codes(measures: Sequence[Measure]) -> set[str]:
    """Codes of all measures that are neither the aircraft's flight hours nor its flight cycles: they
    are told by their own names, those counted on the aircraft too."""
    known = {measure.code for measure in (hours_of(measures), cycles_of(measures)) if measure}
    return {measure.code for measure in measures} - known


def _known(
    measures: Sequence[Measure], unit: str, code: str, names: tuple[str, ...]
) -> Measure | None:
    """By the code that sheets of readings go by; where none has it, the first entered of that name.
    A count of another name is never taken for it: it would be told as what it is not."""
    counted = [
        measure
        for measure in measures
        if measure.counted_on == Measure.AIRCRAFT and measure.unit == unit
    ]
    coded = [measure for measure in counted if measure.code == code]
    named = [measure for measure in counted if measure.name.strip().casefold() in names]
    return min(coded or named, key=lambda measure: measure.pk, default=None)
