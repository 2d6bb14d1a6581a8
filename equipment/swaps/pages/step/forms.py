"""What a step asks for, as controls for a gloved hand: derived from its rule, shape only.

Nothing is judged here: `equipment.judging` reads what was typed, whatever it is.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from equipment.judging.measuring.counts import CountRule
from equipment.judging.measuring.endurance import EnduranceRule
from equipment.judging.measuring.function import FunctionRule
from equipment.judging.measuring.resistance import ResistanceRule
from equipment.judging.measuring.torque import TorqueRule
from equipment.judging.measuring.units import sort_of, units_of
from equipment.judging.measuring.weights import WeightRule
from equipment.judging.steps.rules import PlainRule, PressureRule, StepRule, rule_of
from equipment.judging.verdicts import amount_words, number_words, range_words
from fleet.words.said import count_words

from .controls import Choice, Controls, Field

# Every name that an entry may carry, and nothing else: what a form sends is narrowed to these.
NAMES = (
    "done",
    "count",
    "value",
    "unit",
    "drag",
    "drag_unit",
    "extension",
    "wrench_length",
    "length_unit",
    "angle",
    "temperature",
    "temperature_unit",
    "result",
    "full",
    "full_unit",
    "text",
    "photo",
    "confirmed",
    "drag_confirmed",
)
# Which sort of tool a step is measured with.
TOOL_SORTS = {
    "torque": "wrench",
    "resistance": "ohmmeter",
    "pressure": "gauge",
    "endurance": "timer",
    "weight": "scale",
}
LONGEST = 2000


Typed = Mapping[str, Any]


def typed_of(sent: Mapping[str, Any]) -> dict[str, str]:
    """What a form sent for an entry: known names only, empty ones left out, at a bearable length.

    ``instead`` is the answer that the person meant another unit: it replaces the value.
    """
    typed = {name: str(sent[name])[:LONGEST].strip() for name in NAMES if sent.get(name)}
    for name, meant in (("value", "instead"), ("drag", "drag_instead")):
        if sent.get(meant):
            typed[name] = str(sent[meant])[:LONGEST]
            typed.pop("confirmed" if name == "value" else f"{name}_confirmed", None)
    return {name: text for name, text in typed.items() if text}


def controls_of(
    sort: str,
    data: Mapping[str, Any],
    typed: Typed,
    *,
    fitted: int | None = None,
    problems: Mapping[str, str] | None = None,
) -> Controls:
    """The controls of a step of this sort and rule, filled with what was typed before.

    ``fitted`` is the count that a returned count answers; ``problems`` are sentences by field.
    """
    rule = rule_of(sort, data)
    if not isinstance(rule, StepRule):
        return Controls(more=" ".join(problem.sentence for problem in rule))
    made = _SORTS[sort](rule.rule, typed, fitted)
    return _with_problems(
        replace(made, tool_sort=TOOL_SORTS.get(sort, ""), needs_tool=rule.needs_tool),
        problems or {},
    )


def _with_problems(made: Controls, problems: Mapping[str, str]) -> Controls:
    def told(field: Field) -> Field:
        return replace(field, problem=problems.get(field.name, ""))

    lever = tuple(told(each) for each in made.lever)
    return replace(
        made,
        fields=tuple(told(each) for each in made.fields),
        lever=lever,
        counter=told(made.counter) if made.counter else None,
        text=told(made.text) if made.text else None,
        is_lever_open=any(each.value or each.problem for each in lever),
    )


def _measure(name: str, label: str, unit: str, typed: Typed, unit_name: str = "unit") -> Field:
    """A number with every unit that it may be read in; the rule's own is chosen at first."""
    sort = sort_of(unit)
    return Field(
        name,
        label,
        str(typed.get(name, "")),
        unit_name,
        tuple(units_of(sort)) if sort else (unit,),
        str(typed.get(unit_name) or unit),
    )


def _choices(name: str, typed: Typed, *words: tuple[str, str]) -> tuple[Choice, ...]:
    before = str(typed.get(name, ""))
    return tuple(
        Choice(name, value, label, place == 0, value == before)
        for place, (value, label) in enumerate(words)
    )


def _confirm(rule: PlainRule, typed: Typed, fitted: int | None) -> Controls:
    return Controls(choices=_choices("done", typed, ("yes", "Done"), ("no", "Not done")))


def _count(rule: CountRule, typed: Typed, fitted: int | None) -> Controls:
    field = Field("count", rule.what.capitalize(), str(typed.get("count", "")), keypad="numeric")
    if rule.is_returned:
        wanted = "not recorded yet" if fitted is None else count_words(fitted)
        return Controls(wanted=wanted, more="were fitted to make safe", counter=field)
    wanted = count_words(rule.number) if rule.number is not None else ""
    return Controls(wanted=wanted, more="laid down" if wanted else "", counter=field)


def _torque(rule: TorqueRule, typed: Typed, fitted: int | None) -> Controls:
    drag = (
        (_measure("drag", "Friction drag, read while turning", rule.unit, typed, "drag_unit"),)
        if rule.has_drag
        else ()
    )
    return Controls(
        wanted=range_words(rule.low, rule.high, rule.unit),
        more="above the friction drag" if rule.has_drag else "at the fastener",
        fields=(*drag, _measure("value", "The wrench showed", rule.unit, typed)),
        lever=_lever(typed),
    )


def _lever(typed: Typed) -> tuple[Field, ...]:
    extension = _measure("extension", "Extension", "mm", typed, "length_unit")
    return (
        replace(extension, units=("mm", "cm", "in"), is_big=False),
        Field(
            "angle",
            "Its angle to the wrench, in degrees",
            str(typed.get("angle", "")),
            is_big=False,
        ),
        Field(
            "wrench_length",
            "Wrench, square to middle of grip, if not on record (same unit)",
            str(typed.get("wrench_length", "")),
            is_big=False,
        ),
    )


def _resistance(rule: ResistanceRule, typed: Typed, fitted: int | None) -> Controls:
    return Controls(
        wanted=rule.words, fields=(_measure("value", "The meter showed", rule.unit, typed),)
    )


def _pressure(rule: PressureRule, typed: Typed, fitted: int | None) -> Controls:
    return Controls(
        fields=(
            _measure("temperature", "Bottle's temperature", "°F", typed, "temperature_unit"),
            _measure("value", "The gauge showed", rule.unit, typed),
        )
    )


def _function(rule: FunctionRule, typed: Typed, fitted: int | None) -> Controls:
    choices = _choices("result", typed, ("pass", "Passed"), ("fail", "Failed"))
    if rule.unit is None:
        return Controls(choices=choices)
    return Controls(
        wanted=range_words(rule.low, rule.high, rule.unit),
        fields=(_measure("value", "Reading", rule.unit, typed),),
        choices=choices,
    )


def _endurance(rule: EnduranceRule, typed: Typed, fitted: int | None) -> Controls:
    field = replace(_measure("value", "It lasted (9:59 will do)", rule.unit, typed), keypad="text")
    return Controls(wanted=range_words(rule.at_least, rule.at_most, rule.unit), fields=(field,))


def _weight(rule: WeightRule, typed: Typed, fitted: int | None) -> Controls:
    least = amount_words(rule.at_least, rule.unit) if rule.at_least is not None else ""
    loss = number_words(rule.loss_percent) if rule.loss_percent is not None else ""
    words = [f"at least {least}"] if least else []
    words += [f"a loss of {'less than' if rule.is_strict else 'at most'} {loss} %"] if loss else []
    full = (
        (_measure("full", "Full weight, as stamped", rule.unit, typed, "full_unit"),)
        if loss and rule.full is None
        else ()
    )
    return Controls(
        wanted=", ".join(words),
        fields=(*full, _measure("value", "The scale showed", rule.unit, typed)),
    )


def _note(rule: PlainRule, typed: Typed, fitted: int | None) -> Controls:
    return Controls(text=Field("text", "Note", str(typed.get("text", "")), keypad="text"))


def _photo(rule: PlainRule, typed: Typed, fitted: int | None) -> Controls:
    return Controls(is_photo=True)


_SORTS: dict[str, Callable[[Any, Typed, int | None], Controls]] = {
    "confirm": _confirm,
    "count": _count,
    "torque": _torque,
    "resistance": _resistance,
    "pressure": _pressure,
    "function": _function,
    "endurance": _endurance,
    "weight": _weight,
    "note": _note,
    "photo": _photo,
}
