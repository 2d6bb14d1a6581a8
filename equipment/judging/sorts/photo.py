"""A photo. Its rule: nothing. Typed: ``photo``, what names the stored pictures."""

from __future__ import annotations

from equipment.judging.declaring.controls import Controls
from equipment.judging.declaring.sort import Example, Given, PlainRule, Sort, plain_rule
from equipment.judging.declaring.typed import Typed
from equipment.judging.verdicts import Judgement


def _judge(read: Typed, rule: PlainRule, given: Given) -> Judgement | None:
    kept = read.kept_text("photo", "Take the photo.")
    return Judgement("none", "The photo is kept.") if kept else None


def _controls(rule: PlainRule, fitted: int | None) -> Controls:
    return Controls(is_photo=True)


PHOTO = Sort(
    code="photo",
    words="photo",
    typed=("photo",),
    rule_of=plain_rule,
    judge=_judge,
    controls=_controls,
    example=Example({}, {}, {"photo": "door.png"}),
    leads_on=True,
)
