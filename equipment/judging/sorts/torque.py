"""A torque: the wrench's reading, its extension, the drag, in whatever units they were read.

Its rule: ``low`` ``high`` ``unit``; ``has_drag``. Typed: ``value`` ``unit`` ``drag`` ``drag_unit``; with an
extension ``extension`` ``wrench_length`` ``length_unit`` ``angle``. ``drag_unit`` left out is the reading's.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from typing import Any

from equipment.judging.declaring.cells import RANGE, Cell
from equipment.judging.declaring.controls import Controls, Field, measured
from equipment.judging.declaring.rule_data import RuleData
from equipment.judging.declaring.sort import Example, Given, Sort
from equipment.judging.declaring.typed import Typed, read_so_far
from equipment.judging.measuring.quantity import Quantity
from equipment.judging.measuring.torque import (
    TorqueRule,
    applied_of,
    final_range,
    judge_torque,
    setting_of,
)
from equipment.judging.verdicts import Judgement, Problem, range_words

# The wrench's length, the extension, the angle between them.
Lever = tuple[Decimal, Decimal, Decimal]


def _rule_of(read: RuleData) -> TorqueRule:
    unit = read.unit("torque")
    low, high = read.ordered("low", "high", needs_both=True)
    return TorqueRule(low or RuleData.NOUGHT, high or RuleData.NOUGHT, unit, read.flag("has_drag"))


def _on_record(given: Given) -> Decimal | None:
    """The wrench's length on record, in millimetres."""
    return Decimal(repr(given.wrench_length_mm)) if given.wrench_length_mm else None


def _judge(read: Typed, rule: TorqueRule, given: Given) -> Judgement | None:
    """The judgement of a torque entry; None with problems at their fields.

    ``value`` and ``drag`` are what the wrench showed. With an ``extension`` (in line ahead +, back
    toward the handle −) both are brought to the fastener first; the wrench's length is typed or
    its record's.
    """
    unit = read.text("unit")
    reading = read.quantity("value", rule.unit, unit)
    drag = read.quantity("drag", rule.unit, read.text("drag_unit") or unit, needed=False)
    lever = _lever(read, _on_record(given))
    if reading is None or read.problems:
        return None
    if drag is not None:
        read.ask(drag, None, rule.high, "drag")
        if not rule.has_drag:
            read.beside.append(
                "The step does not ask for the friction drag: as it was entered, it is taken off."
            )
    if lever is not None:
        return _with_lever(read, rule, reading, drag, lever)
    read.ask(reading, *final_range(rule, drag.value if drag else Decimal(0)))
    # In its own unit a reading is the number itself; converted it is good to the figures typed.
    good_to = Decimal(0) if reading.in_unit == rule.unit else reading.readable_to
    drag_value = drag.value if drag else None
    return judge_torque(rule, reading.value, drag_value, readable_to=good_to)


def _with_lever(
    read: Typed, rule: TorqueRule, reading: Quantity, drag: Quantity | None, lever: Lever
) -> Judgement | None:
    applied = _applied(read, reading.value, lever)
    applied_drag = _applied(read, drag.value, lever) if drag else None
    if applied is None:
        return None
    ends = final_range(rule, applied_drag or Decimal(0))
    low, high = (_setting(end, lever) for end in ends)
    read.ask(reading, low, high)
    read.values["applied"] = {"value": f"{applied:f}", "unit": rule.unit}
    read.beside.append(
        f"With this extension the wrench shows {range_words(low, high, rule.unit)} when it is right."
    )
    good_to = applied_of(reading.readable_to, *lever)
    # The same lever has just given a torque.
    assert isinstance(good_to, Decimal)
    return judge_torque(rule, applied, applied_drag, readable_to=good_to)


def _lever(read: Typed, length_mm: Decimal | None) -> Lever | None:
    """Wrench's length, extension and angle if there is an extension; None if there is none."""
    unit = read.text("length_unit")
    extension = read.quantity("extension", "mm", unit, needed=False)
    angle = read.quantity("angle", "°", needed=False)
    typed = read.quantity("wrench_length", "mm", unit, needed=False)
    if extension is None or extension.value == 0:
        return None
    length = typed.value if typed else length_mm
    if length is None:
        if "wrench_length" not in read.problems:
            sentence = "Enter the wrench's length, from the square to the middle of the grip."
            read.refuse("wrench_length", Problem("missing", sentence))
        return None
    return length, extension.value, angle.value if angle else Decimal(0)


def _applied(read: Typed, value: Decimal, lever: Lever) -> Decimal | None:
    applied = applied_of(value, *lever)
    if isinstance(applied, Problem):
        read.refuse(applied.field or "extension", applied)
        return None
    return applied


def _setting(value: Decimal, lever: Lever) -> Decimal:
    setting = setting_of(value, *lever)
    # The same lever has just given a torque.
    assert isinstance(setting, Decimal)
    return setting


def _controls(rule: TorqueRule, fitted: int | None) -> Controls:
    fields = [measured("value", "The wrench showed", rule.unit)]
    if rule.has_drag:
        label = "Friction drag, read while turning"
        fields.insert(0, measured("drag", label, rule.unit, "drag_unit"))
    return Controls(
        wanted=range_words(rule.low, rule.high, rule.unit),
        more="above the friction drag" if rule.has_drag else "at the fastener",
        fields=tuple(fields),
        lever=_lever_fields(),
    )


def _lever_fields() -> tuple[Field, ...]:
    extension = measured("extension", "Extension", "mm", "length_unit")
    length = "Wrench, square to middle of grip, if not on record (same unit)"
    return (
        replace(extension, units=("mm", "cm", "in"), is_big=False),
        Field("angle", "Its angle to the wrench, in degrees", is_big=False),
        Field("wrench_length", length, is_big=False),
    )


def _aim(rule: TorqueRule, typed: Mapping[str, Any], given: Given) -> str:
    drag_unit = "drag_unit" if typed.get("drag_unit") else "unit"
    read = read_so_far(typed, "drag", drag_unit, rule.unit) if rule.has_drag else None
    drag = read or Decimal(0)
    extension = read_so_far(typed, "extension", "length_unit", "mm")
    if not extension:
        ends = range_words(*final_range(rule, drag), rule.unit)
        return f"Set the wrench to {ends}: the drag is in it." if drag else ""
    length = read_so_far(typed, "wrench_length", "length_unit", "mm") or _on_record(given)
    if length is None:
        return "The setting needs the wrench's length: choose the wrench, or enter it."
    angle = read_so_far(typed, "angle", "", "°") or Decimal(0)
    return _aim_with_lever(rule, drag, (length, extension, angle))


def _aim_with_lever(rule: TorqueRule, drag: Decimal, lever: Lever) -> str:
    low, high = (setting_of(end, *lever) for end in (rule.low, rule.high))
    if not isinstance(low, Decimal) or not isinstance(high, Decimal):
        return ""
    # The drag was read on the same wrench with the same extension: it is added as it was read.
    # Rounded inwards: a setting that is read out is never outside the range itself.
    ends = (low + drag, high + drag)
    low = ends[0].quantize(Decimal("0.1"), ROUND_CEILING)
    high = ends[1].quantize(Decimal("0.1"), ROUND_FLOOR)
    if low > high:
        # A torque of one value, or nearly: as near to it as a wrench is set.
        low = high = ((ends[0] + ends[1]) / 2).quantize(Decimal("0.1"))
    also = ": the drag is in it" if drag else ""
    return f"With this extension set the wrench to {range_words(low, high, rule.unit)}{also}."


TORQUE = Sort(
    code="torque",
    words="torque",
    typed=(
        "value",
        "unit",
        "drag",
        "drag_unit",
        "extension",
        "wrench_length",
        "length_unit",
        "angle",
    ),
    questioned=("value", "drag"),
    rule_of=_rule_of,
    judge=_judge,
    controls=_controls,
    aim=_aim,
    cells=(*RANGE, Cell("has_drag", is_truth=True)),
    tool="wrench",
    example=Example(
        {"low": "20", "high": "25", "unit": "in-lb", "has_drag": True},
        {"low": "20", "high": "25", "unit": "in-lb", "has_drag": True},
        {"value": "24", "drag": "5", "extension": "50", "wrench_length": "250"},
    ),
)
