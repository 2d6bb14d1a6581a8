"""Which measures are the aircraft's hours and cycles, and which are others."""

from __future__ import annotations

from collections.abc import Sequence

from fleet.models import Measure


def hours_of(measures: Sequence[Measure]) -> Measure | None:
    """The aircraft's flight hours: the first of its measures entered that is held in minutes.

    It is what ``aircraft_minutes`` of a movement and ``due_at_minutes`` of an item mean.
    """
    return _first(measures, Measure.MINUTES)


def cycles_of(measures: Sequence[Measure]) -> Measure | None:
    """The aircraft's flight cycles: the first of its measures entered that is a plain count."""
    return _first(measures, Measure.COUNT)


def other_codes(measures: Sequence[Measure]) -> set[str]:
    """Codes of all measures that are neither the aircraft's hours nor its cycles."""
    known = {measure.code for measure in (hours_of(measures), cycles_of(measures)) if measure}
    return {measure.code for measure in measures} - known


def _first(measures: Sequence[Measure], unit: str) -> Measure | None:
    found = [
        measure
        for measure in measures
        if measure.counted_on == Measure.AIRCRAFT and measure.unit == unit
    ]
    return min(found, key=lambda measure: measure.pk, default=None)
