"""What to aim at before a value is read: the wrench's setting, the bottle's band at its temperature."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from typing import Any

from equipment.judging.measuring.pressure import Chart, range_at
from equipment.judging.measuring.quantities import read_quantity
from equipment.judging.measuring.quantity import Quantity
from equipment.judging.measuring.torque import TorqueRule, final_range, setting_of
from equipment.judging.verdicts import amount_words, range_words

from .rules import PressureRule, StepRule


def aim_of(
    rule: StepRule,
    typed: Mapping[str, Any],
    *,
    wrench_length_mm: float | None = None,
    chart: Chart | None = None,
) -> str:
    """A sentence from what is typed so far, the value itself not needed; empty if it says nothing.

    What cannot be read yet is left out: the field's own sentence tells of it.
    """
    if isinstance(rule.rule, TorqueRule):
        return _setting(rule.rule, typed, wrench_length_mm)
    if isinstance(rule.rule, PressureRule):
        return _band(rule.rule, typed, chart or rule.rule.chart)
    return ""


def _read(typed: Mapping[str, Any], name: str, unit: str, expected: str) -> Decimal | None:
    text = str(typed.get(name) or "").strip()
    read = read_quantity(text, str(typed.get(unit) or ""), expected=expected) if text else None
    return read.value if isinstance(read, Quantity) else None


def _setting(rule: TorqueRule, typed: Mapping[str, Any], on_record: float | None) -> str:
    drag_unit = "drag_unit" if typed.get("drag_unit") else "unit"
    drag = (_read(typed, "drag", drag_unit, rule.unit) if rule.has_drag else None) or Decimal(0)
    extension = _read(typed, "extension", "length_unit", "mm")
    if not extension:
        ends = range_words(*final_range(rule, drag), rule.unit)
        return f"Set the wrench to {ends}: the drag is in it." if drag else ""
    length = _read(typed, "wrench_length", "length_unit", "mm")
    length = length or (Decimal(repr(on_record)) if on_record else None)
    if length is None:
        return "The setting needs the wrench's length: choose the wrench, or enter it."
    angle = _read(typed, "angle", "", "°") or Decimal(0)
    return _with_lever(rule, drag, (length, extension, angle))


def _with_lever(rule: TorqueRule, drag: Decimal, lever: tuple[Decimal, Decimal, Decimal]) -> str:
    low, high = (setting_of(end, *lever) for end in (rule.low, rule.high))
    if not isinstance(low, Decimal) or not isinstance(high, Decimal):
        return ""
    # The drag was read on the same wrench with the same extension: it is added as it was read.
    # Rounded inwards: a setting that is read out is never outside the range itself.
    low = (low + drag).quantize(Decimal("0.1"), ROUND_CEILING)
    high = (high + drag).quantize(Decimal("0.1"), ROUND_FLOOR)
    also = ": the drag is in it" if drag else ""
    return f"With this extension set the wrench to {range_words(low, high, rule.unit)}{also}."


def _band(rule: PressureRule, typed: Mapping[str, Any], chart: Chart | None) -> str:
    if chart is None:
        return "No chart of this bottle is recorded: the reading is kept and cannot be judged."
    warmth = _read(typed, "temperature", "temperature_unit", "°F")
    if warmth is None:
        return "The band follows from the temperature."
    band = range_at(chart, warmth)
    if band is None:
        return f"{chart.words.capitalize()} says nothing at {amount_words(warmth, '°F')}."
    low, high = (
        band[0].quantize(Decimal(1), ROUND_CEILING),
        band[1].quantize(Decimal(1), ROUND_FLOOR),
    )
    return f"{range_words(low, high, chart.unit)} at this temperature."
