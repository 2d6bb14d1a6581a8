"""A bottle's pressure at its temperature.

Its rule: ``unit`` (or psi); ``chart`` unless the bottle's own is given: ``points`` of [°F, least,
most], ``gas``, ``document``, ``revision``, ``charge`` at ``charge_at_f``. Typed: ``value`` ``unit``
``temperature`` ``temperature_unit``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from typing import Any

from equipment.judging.declaring.cells import Cell
from equipment.judging.declaring.controls import Controls, measured
from equipment.judging.declaring.rule_data import RuleData
from equipment.judging.declaring.sort import Example, Given, Sort
from equipment.judging.declaring.typed import Typed, read_so_far
from equipment.judging.measuring.gas import GASES, CannotSay
from equipment.judging.measuring.pressure import (
    Chart,
    judge_pressure,
    normalised,
    plausible,
    range_at,
)
from equipment.judging.measuring.units import converted
from equipment.judging.verdicts import Judgement, amount_words, range_words

STEPS = {"bar": Decimal("0.1"), "MPa": Decimal("0.01")}


@dataclass(frozen=True, slots=True)
class PressureRule:
    """The unit the entry is kept in, and the chart if the step brings its own."""

    unit: str
    chart: Chart | None = None


def _rule_of(read: RuleData) -> PressureRule:
    unit = read.unit("pressure", usual="psi")
    return PressureRule(unit, read.chart("chart", unit))


def _judge(read: Typed, rule: PressureRule, given: Given) -> Judgement | None:
    chart = given.chart or rule.chart
    unit = chart.unit if chart else rule.unit
    reading = read.quantity("value", unit, read.text("unit") or rule.unit)
    warmth = read.quantity("temperature", "°F", read.text("temperature_unit"), needed=False)
    if reading is None or read.problems:
        return None
    if chart is None:
        sentence = "It cannot be judged: no chart of this bottle is recorded."
        return Judgement("cannot_judge", sentence)
    at = warmth.value if warmth else None
    read.ask(reading, *_expected(chart, at))
    if at is not None:
        _beside(read, chart, reading.value, at)
    return judge_pressure(chart, reading.value, at)


def _expected(chart: Chart, at: Decimal | None) -> tuple[Decimal, Decimal | None]:
    """The band at the temperature or, where there is none, all that the chart covers."""
    band = range_at(chart, at) if at is not None else None
    most = [p[2] for p in chart.points if p[2] is not None]
    return band or (min(p[1] for p in chart.points), max(most, default=None))


def _beside(read: Typed, chart: Chart, reading: Decimal, at: Decimal) -> None:
    if chart.gas not in GASES:
        return
    shown = converted(reading, chart.unit, "psi", "pressure")
    if chart.charge is not None:
        charge = float(converted(chart.charge, chart.unit, "psi", "pressure"))
        charged_at = float(chart.charge_at_f)
        answer = plausible(chart.gas, charge, charged_at, float(shown), float(at))
        read.beside.append(answer.sentence)
    _at_reference(read, chart, float(shown), float(at))


def _at_reference(read: Typed, chart: Chart, psig: float, at: float) -> None:
    """The reading brought to 70 °F by the gas itself, kept with the entry: what readings of several
    days are compared by."""
    found = normalised(chart.gas, psig, at)
    if isinstance(found, CannotSay):
        return
    there = converted(Decimal(repr(round(found, 1))), "psi", chart.unit, "pressure")
    read.values["at_70_f"] = {"value": f"{there:f}", "unit": chart.unit}
    said = amount_words(there.quantize(STEPS.get(chart.unit, Decimal(1))), chart.unit)
    read.beside.append(f"Brought to 70 °F by the gas itself: {said}.")


def _controls(rule: PressureRule, fitted: int | None) -> Controls:
    warmth = measured("temperature", "Bottle's temperature", "°F", "temperature_unit")
    return Controls(fields=(warmth, measured("value", "The gauge showed", rule.unit)))


def _aim(rule: PressureRule, typed: Mapping[str, Any], given: Given) -> str:
    chart = given.chart or rule.chart
    if chart is None:
        return "No chart of this bottle is recorded: the reading is kept and cannot be judged."
    warmth = read_so_far(typed, "temperature", "temperature_unit", "°F")
    if warmth is None:
        return "The band follows from the temperature."
    band = range_at(chart, warmth)
    if band is None:
        return f"{chart.words.capitalize()} says nothing at {amount_words(warmth, '°F')}."
    # A gauge in psi or kPa is read to whole ones, one in bar to a tenth, in MPa to a hundredth.
    step = STEPS.get(chart.unit, Decimal(1))
    low = band[0].quantize(step, ROUND_CEILING)
    high = band[1].quantize(step, ROUND_FLOOR) if band[1] is not None else None
    return f"{range_words(low, high, chart.unit)} at this temperature."


PRESSURE = Sort(
    code="pressure",
    words="pressure",
    typed=("value", "unit", "temperature", "temperature_unit"),
    questioned=("value",),
    rule_of=_rule_of,
    judge=_judge,
    controls=_controls,
    aim=_aim,
    cells=(Cell("unit"),),
    tool="gauge",
    takes_chart=True,
    example=Example({"unit": "psi"}, {"unit": "psi"}, {"value": "2950", "temperature": "70"}),
)
