"""What a step asks for, as controls for a gloved hand, filled with what was typed before.

Nothing is judged here: `equipment.judging` reads what was typed, whatever it is.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from equipment.judging.declaring.controls import Choice, Controls, Field
from equipment.judging.sorts.table import BY_CODE, NAMES, QUESTIONED
from equipment.judging.steps.rules import StepRule, rule_of
from equipment.judging.verdicts import answer_field_of, instead_field_of

LONGEST = 2000


Typed = Mapping[str, Any]
Problems = Mapping[str, str]


def typed_of(sent: Mapping[str, Any]) -> dict[str, str]:
    """What a form sent for an entry: known names only, empty ones left out, at a bearable length.

    ``instead`` is the answer that the person meant another unit: it replaces the value.
    """
    typed = {name: str(sent[name])[:LONGEST].strip() for name in NAMES if sent.get(name)}
    for name in QUESTIONED:
        if meant := sent.get(instead_field_of(name)):
            typed[name] = str(meant)[:LONGEST]
            typed.pop(answer_field_of(name), None)
    return {name: text for name, text in typed.items() if text}


def is_said(typed: Mapping[str, str] | None) -> bool:
    """Whether anything is typed: a chosen unit of measure alone is not."""
    return any(not name.endswith("unit") for name in typed or {})


def controls_of(
    sort: str,
    data: Mapping[str, Any],
    typed: Typed,
    *,
    fitted: int | None = None,
    problems: Problems | None = None,
) -> Controls:
    """The controls of a step of this sort and rule, filled with what was typed before.

    ``fitted`` is the count that a returned count answers; ``problems`` are sentences by field.
    """
    rule = rule_of(sort, data)
    if not isinstance(rule, StepRule):
        return Controls(more=" ".join(problem.sentence for problem in rule))
    declared = BY_CODE[sort]
    made = _filled(declared.controls(rule.rule, fitted), typed, problems or {})
    return replace(made, tool_sort=declared.tool or made.tool_sort, needs_tool=rule.needs_tool)


def _filled(made: Controls, typed: Typed, problems: Problems) -> Controls:
    lever = tuple(_field(each, typed, problems) for each in made.lever)
    return replace(
        made,
        choices=tuple(_choice(each, typed) for each in made.choices),
        fields=tuple(_field(each, typed, problems) for each in made.fields),
        lever=lever,
        counter=_field(made.counter, typed, problems) if made.counter else None,
        text=_field(made.text, typed, problems) if made.text else None,
        is_lever_open=any(each.value or each.problem for each in lever),
    )


def _field(asked: Field, typed: Typed, problems: Problems) -> Field:
    """A field with what stands in it; a unit once chosen stays chosen."""
    chosen = typed.get(asked.unit_name) if asked.unit_name else None
    return replace(
        asked,
        value=str(typed.get(asked.name, "")),
        unit=str(chosen or asked.unit),
        problem=problems.get(asked.name, ""),
    )


def _choice(asked: Choice, typed: Typed) -> Choice:
    return replace(asked, is_chosen=asked.value == str(typed.get(asked.name, "")))
