"""A note. Its rule: nothing. Typed: ``text``."""

from __future__ import annotations

from equipment.judging.declaring.controls import Controls, Field
from equipment.judging.declaring.sort import Example, Given, PlainRule, Sort, plain_rule
from equipment.judging.declaring.typed import Typed
from equipment.judging.verdicts import Judgement


def _judge(read: Typed, rule: PlainRule, given: Given) -> Judgement | None:
    return Judgement("none", "Noted.") if read.kept_text("text", "Write the note.") else None


def _controls(rule: PlainRule, fitted: int | None) -> Controls:
    return Controls(text=Field("text", "Note", keypad="text"))


NOTE = Sort(
    code="note",
    words="note",
    typed=("text",),
    rule_of=plain_rule,
    judge=_judge,
    controls=_controls,
    example=Example({}, {}, {"text": "The gauge's glass is scratched."}),
    leads_on=True,
)
