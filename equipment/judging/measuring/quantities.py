"""What a person typed, read as a quantity in the unit that its rule is written in."""

from __future__ import annotations

import re
from decimal import Decimal

from equipment.judging.verdicts import Problem

from . import numbers, units
from .durations import is_clock_face, read_clock_face
from .quantity import Quantity


def read_quantity(text: str, unit: str, *, expected: str) -> Quantity | Problem:
    """The quantity that a text says, in the unit ``expected``; a :class:`Problem`, never a guess.

    ``unit`` is the one chosen beside the field; a unit written behind the number wins over it.
    Only a temperature or an angle may be below nought. Times may be written 9:59 (minutes and
    seconds, or hours and minutes if the unit is hours). Pressures are a gauge's.
    """
    sort = units.sort_of(expected)
    chosen = units.unit_named(unit or expected, sort) if sort else None
    target = units.unit_named(expected, sort) if sort else None
    if sort is None or chosen is None or target is None:
        return Problem("unit_unknown", f"“{unit or expected}” is not a unit for this value.")
    if sort == "time" and is_clock_face(text):
        face = read_clock_face(text, chosen)
        return face if isinstance(face, Problem) else _taken(face[0], face[1], target, text, sort)
    found = numbers.number_and_rest(text)
    if isinstance(found, Problem):
        return found
    number, rest = found
    named = _unit_behind(rest, chosen, sort)
    return named if isinstance(named, Problem) else _taken(number, named, target, text, sort)


def read_range(text: str, *sorts: str) -> tuple[Decimal, Decimal, str] | Problem:
    """The least and most of ``10 to 100 in-lb``, and their unit, which measures one of these sorts."""
    low_text, _, high_text = re.sub(r"(?<=[0-9])\s*[-–—]\s*(?=[0-9])", " to ", text).partition(
        " to "
    )
    low, high = numbers.number_and_rest(low_text), numbers.number_and_rest(high_text)
    if isinstance(low, Problem) or isinstance(high, Problem):
        sentence = f"“{text.strip()}” is not a range. Enter it such as 10 to 100 in-lb."
        return Problem("not_a_range", sentence)
    found = {units.unit_named(high[1], sort) for sort in sorts} - {None}
    unit = next(iter(found), None)
    if unit is None or low[1] not in ("", high[1]):
        ways = ", ".join(unit for sort in sorts for unit in units.units_of(sort))
        return Problem("unit_unknown", f"“{high[1]}” is not a unit of this tool: use {ways}.")
    if low[0] >= high[0]:
        return Problem("upside_down", "The least that it shows is not below the most.")
    return low[0], high[0], unit


def _unit_behind(rest: str, chosen: str, sort: str) -> str | Problem:
    if not rest:
        return chosen
    if units.is_ambiguous(rest, sort):
        return Problem("unit_ambiguous", f"“{rest}” may be milli or mega: write milliohm or ohm.")
    if sort == "pressure" and units.folded(rest) in units.ABSOLUTE:
        return Problem(
            "absolute_pressure",
            f"“{rest}” counts from a vacuum. Enter what the gauge shows, in psi or bar.",
        )
    named = units.unit_named(rest, sort)
    if named is None:
        usual = ", ".join(name for name in units.units_of(sort) if name)
        ways = f"use {usual}" if usual else "enter the number alone"
        return Problem("unit_unknown", f"“{rest}” is not a unit for this value: {ways}.")
    return named


def _taken(number: Decimal, unit: str, target: str, text: str, sort: str) -> Quantity | Problem:
    if number < 0 and sort not in {"temperature", "angle", "length"}:
        return Problem("negative", f"“{text.strip()}” is below nought, which this value cannot be.")
    if sort == "count" and number != number.to_integral_value():
        return Problem("not_whole", f"“{text.strip()}” is not a whole number.")
    value = units.converted(number, unit, target, sort)
    if sort == "temperature" and units.converted(number, unit, "°C", sort) < Decimal("-273.15"):
        return Problem("too_cold", f"“{text.strip()}” is colder than anything can be.")
    return Quantity(value, target, text.strip(), unit, number)
