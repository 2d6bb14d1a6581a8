"""A confirmation. Its rule: nothing. Typed: ``done``, yes or no."""

from __future__ import annotations

from equipment.judging.declaring.controls import Controls, either
from equipment.judging.declaring.sort import Example, Given, PlainRule, Sort, plain_rule
from equipment.judging.declaring.typed import Typed
from equipment.judging.verdicts import Judgement


def _judge(read: Typed, rule: PlainRule, given: Given) -> Judgement | None:
    done = read.choice("done", "Say whether it is done: yes or no.")
    if done is None:
        return None
    return Judgement("in", "Done.") if done else Judgement("out", "Not done.", "not done")


def _controls(rule: PlainRule, fitted: int | None) -> Controls:
    return Controls(choices=either("done", ("yes", "Done"), ("no", "Not done")))


CONFIRM = Sort(
    code="confirm",
    words="confirmation",
    typed=("done",),
    rule_of=plain_rule,
    judge=_judge,
    controls=_controls,
    example=Example({}, {}, {"done": "yes"}),
    leads_on=True,
)
