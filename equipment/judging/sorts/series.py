"""Trials that must succeed so many times in a row: after a failure the whole series begins again
(14 CFR 25.810(a)(1)(v): five consecutive deployments without failure).

Its rule: ``in_a_row``. Typed: ``results``, one word a trial in their order: pass, fail.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from equipment.judging.declaring.cells import Cell
from equipment.judging.declaring.controls import Controls, Field
from equipment.judging.declaring.rule_data import RuleData
from equipment.judging.declaring.sort import Example, Given, Sort
from equipment.judging.declaring.typed import NO, YES, Typed
from equipment.judging.verdicts import Judgement, Problem
from fleet.words.said import count_words

MOST = 100
_SHORT = {"p": True, "f": False}


@dataclass(frozen=True, slots=True)
class SeriesRule:
    """How many trials in a row must succeed."""

    in_a_row: int


def judge_series(rule: SeriesRule, trials: Sequence[bool]) -> Judgement:
    """Whether the last so many trials succeeded; those before a failure count for nothing."""
    failed = [number for number, is_good in enumerate(trials, start=1) if not is_good]
    last = failed[-1] if failed else 0
    row = len(trials) - last
    said = f"{count_words(row)} of {count_words(rule.in_a_row)} in a row"
    if row >= rule.in_a_row:
        return Judgement("in", f"{count_words(row)} in a row, as many as are asked for.")
    left = f"{count_words(rule.in_a_row - row)} to go"
    after = f" since trial {last} failed: the whole series began again there" if last else ""
    return Judgement("out", f"{said}{after}, {left}.", left)


def _rule_of(read: RuleData) -> SeriesRule:
    number = read.whole("in_a_row")
    if not number and not read.problems:
        read.refuse("in_a_row", "missing", "Say how many must succeed in a row.")
    return SeriesRule(number or 1)


def _judge(read: Typed, rule: SeriesRule, given: Given) -> Judgement | None:
    text = read.kept_text("results", "Enter each trial: pass or fail, in their order.")
    words = [word for word in re.split(r"[\s,;]+", text.casefold()) if word]
    trials = [_SHORT.get(w, True if w in YES else False if w in NO else None) for w in words]
    known = [each for each in trials if each is not None]
    if "results" in read.problems:
        return None
    if len(known) != len(trials) or not 0 < len(trials) <= MOST:
        sentence = f"Write pass or fail for each trial, at most {MOST}, set apart by commas."
        read.refuse("results", Problem("not_a_series", sentence))
        return None
    read.values["trials"] = known
    return judge_series(rule, known)


def _controls(rule: SeriesRule, fitted: int | None) -> Controls:
    label = "Each trial in its order: pass, fail"
    field = Field("results", label, keypad="text")
    return Controls(wanted=count_words(rule.in_a_row), more="in a row without failure", text=field)


SERIES = Sort(
    code="series",
    words="series of trials",
    typed=("results",),
    rule_of=_rule_of,
    judge=_judge,
    controls=_controls,
    cells=(Cell("low", "in_a_row"),),
    example=Example({"low": "3"}, {"in_a_row": "3"}, {"results": "fail, pass, pass, pass"}),
)
