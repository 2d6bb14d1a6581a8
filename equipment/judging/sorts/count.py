"""Every pin, lock and tool accounted for: what was fitted against what came back.

Its rule: ``what``; ``number`` if laid down; ``is_returned`` if it answers a fitting (how many were
fitted is given). Typed: ``count``.
"""

from __future__ import annotations

from dataclasses import dataclass

from equipment.judging.declaring.cells import Cell
from equipment.judging.declaring.controls import Controls, Field
from equipment.judging.declaring.rule_data import RuleData
from equipment.judging.declaring.sort import Example, Given, Sort
from equipment.judging.declaring.typed import Typed
from equipment.judging.verdicts import Judgement
from fleet.words.said import count_words


@dataclass(frozen=True, slots=True)
class CountRule:
    """What is counted; ``number`` if the count is laid down; ``is_returned`` if it answers a fitting."""

    what: str
    number: int | None = None
    is_returned: bool = False


def judge_count(rule: CountRule, count: int, fitted: int | None = None) -> Judgement:
    """Whether a count is the number laid down and, of things returned, the number fitted.

    Things returned without a record of how many were fitted cannot be judged.
    """
    if rule.is_returned and fitted is None:
        sentence = f"It cannot be judged: how many {rule.what} were fitted is not recorded."
        return Judgement("cannot_judge", sentence)
    wanted = fitted if rule.is_returned else rule.number
    if wanted is None or count == wanted:
        accounted = ", all that were fitted" if rule.is_returned else ""
        return Judgement("in", f"{rule.what.capitalize()}: {count_words(count)}{accounted}.")
    off = count - wanted
    by = f"{count_words(abs(off))} {'too many' if off > 0 else 'missing'}"
    against = "were fitted" if rule.is_returned else "are laid down"
    sentence = f"{rule.what.capitalize()}: {count_words(count)}, but {count_words(wanted)} {against}: {by}."
    return Judgement("out", sentence, by)


def _rule_of(read: RuleData) -> CountRule:
    what, number = read.text("what"), read.whole("number")
    return CountRule(what, number, read.flag("is_returned"))


def _judge(read: Typed, rule: CountRule, given: Given) -> Judgement | None:
    counted = read.quantity("count", "")
    if counted is None:
        return None
    if rule.is_returned and given.fitted is not None:
        read.values["fitted"] = given.fitted
    return judge_count(rule, int(counted.value), given.fitted)


def _controls(rule: CountRule, fitted: int | None) -> Controls:
    field = Field("count", rule.what.capitalize(), keypad="numeric")
    if rule.is_returned:
        wanted = "not recorded yet" if fitted is None else count_words(fitted)
        return Controls(wanted=wanted, more="were counted before", counter=field)
    wanted = count_words(rule.number) if rule.number is not None else ""
    return Controls(wanted=wanted, more="laid down" if wanted else "", counter=field)


COUNT = Sort(
    code="count",
    words="count",
    typed=("count",),
    rule_of=_rule_of,
    judge=_judge,
    controls=_controls,
    cells=(Cell("counted", "what"), Cell("returns", "is_returned", is_truth=True)),
    example=Example(
        {"counted": "safety pins"}, {"what": "safety pins", "is_returned": False}, {"count": "2"}
    ),
)
