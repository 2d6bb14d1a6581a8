"""A torque as typed: the wrench's reading, its extension, the drag, in whatever units they were read."""

from __future__ import annotations

from decimal import Decimal

from equipment.judging.measuring.quantity import Quantity
from equipment.judging.measuring.torque import (
    TorqueRule,
    applied_of,
    final_range,
    judge_torque,
    setting_of,
)
from equipment.judging.verdicts import Judgement, Problem, range_words

from .typed import Typed

# The wrench's length, the extension, the angle between them.
Lever = tuple[Decimal, Decimal, Decimal]


def torque_entry(
    read: Typed, rule: TorqueRule, wrench_length_mm: Decimal | None
) -> Judgement | None:
    """The judgement of a torque entry; None with problems at their fields.

    ``value`` and ``drag`` are what the wrench showed. With an ``extension`` (in line ahead +, back
    toward the handle −) both are brought to the fastener first; the wrench's length is typed or
    its record's.
    """
    unit = read.text("unit")
    reading = read.quantity("value", rule.unit, unit)
    drag = read.quantity("drag", rule.unit, read.text("drag_unit") or unit, needed=False)
    lever = _lever(read, wrench_length_mm)
    if reading is None or read.problems:
        return None
    if drag is not None and rule.has_drag:
        read.ask(drag, None, rule.high, "drag")
    if lever is not None:
        return _with_lever(read, rule, reading, drag, lever)
    added = drag.value if drag and rule.has_drag else Decimal(0)
    read.ask(reading, *final_range(rule, added))
    return judge_torque(rule, reading.value, drag.value if drag else None)


def _with_lever(
    read: Typed, rule: TorqueRule, reading: Quantity, drag: Quantity | None, lever: Lever
) -> Judgement | None:
    applied = _applied(read, reading.value, lever)
    applied_drag = _applied(read, drag.value, lever) if drag else None
    if applied is None:
        return None
    added = applied_drag if applied_drag and rule.has_drag else Decimal(0)
    low, high = (_setting(end, lever) for end in final_range(rule, added))
    read.ask(reading, low, high)
    read.values["applied"] = {"value": f"{applied:f}", "unit": rule.unit}
    read.beside.append(
        f"With this extension the wrench shows {range_words(low, high, rule.unit)} when it is right."
    )
    return judge_torque(rule, applied, applied_drag)


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
