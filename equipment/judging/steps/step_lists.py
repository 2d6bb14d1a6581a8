"""Whether a list of steps can be worked by: rules that judge, phases in order, everything returned."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from fleet.house.refusals import Refusal

from .rules import SORTS, rule_of

PHASES = ("make_safe", "remove", "inspect", "install", "test", "restore")
POSTS = ("", "removal", "installation")
MOST_STEPS, MOST_NUMBER, MOST_RULE = 300, 32767, 10_000
LENGTHS = {"words": 300, "caution": 300, "document": 80, "earns": 32}


@dataclass(frozen=True, slots=True)
class NewStep:
    """One step as the operator enters it; ``rule`` as :mod:`equipment.judging.steps.rules` tells by sort."""

    number: int
    phase: str
    sort: str
    words: str
    rule: Mapping[str, Any] = field(default_factory=dict)
    caution: str = ""
    document: str = ""
    is_needed: bool = True
    is_inspected: bool = False
    posts: str = ""
    returns: int | None = None
    earns: str = ""


def why_not_steps(steps: Sequence[NewStep]) -> list[Refusal]:
    """Everything wrong with the steps of one list, each at ``steps.<place>.<name>`` with its number."""
    if not steps:
        return [Refusal("steps_missing", "A list has at least one step.", "steps")]
    if len(steps) > MOST_STEPS:
        return [Refusal("too_many_steps", f"At most {MOST_STEPS} steps, please.", "steps")]
    found = [each for place, step in enumerate(steps) for each in _of_one(place, step)]
    return found or [*_of_order(steps), *_of_returns(steps), *_of_posts(steps)]


def _at(place: int, step: NewStep, code: str, sentence: str, name: str) -> Refusal:
    return Refusal(code, f"Step {step.number}: {sentence}", f"steps.{place}.{name}")


def _of_one(place: int, step: NewStep) -> Iterator[Refusal]:
    if not 1 <= step.number <= MOST_NUMBER:
        yield _at(
            place, step, "number_out_of_range", f"numbers go from 1 to {MOST_NUMBER}.", "number"
        )
    if step.phase not in PHASES:
        words = f"“{step.phase}” is no phase. They are: {', '.join(PHASES)}."
        yield _at(place, step, "unknown_phase", words, "phase")
    if step.posts not in POSTS:
        words = "it records the removal, the installation or nothing."
        yield _at(place, step, "unknown_posts", words, "posts")
    if not step.words.strip():
        yield _at(place, step, "missing", "say what is done.", "words")
    for name, most in LENGTHS.items():
        if len(getattr(step, name)) > most:
            yield _at(place, step, "too_long", f"no longer than {most} characters, please.", name)
        elif "\x00" in getattr(step, name):
            yield _at(place, step, "unreadable", "this cannot be read. Type it again.", name)
    yield from _of_rule(place, step)


def _of_rule(place: int, step: NewStep) -> Iterator[Refusal]:
    if step.sort not in SORTS:
        words = f"“{step.sort}” is no sort of step. They are: {', '.join(SORTS)}."
        yield _at(place, step, "sort_unknown", words, "sort")
        return
    written = json.dumps(step.rule, default=str)
    if "\\u0000" in written or len(written) > MOST_RULE:
        yield _at(place, step, "unreadable", "its rule cannot be read, or is too long.", "rule")
        return
    rule = rule_of(step.sort, step.rule)
    for problem in rule if isinstance(rule, list) else ():
        yield _at(place, step, problem.code, problem.sentence, "rule")


def _of_order(steps: Sequence[NewStep]) -> Iterator[Refusal]:
    latest, seen = 0, set()
    for place, step in sorted(enumerate(steps), key=lambda pair: pair[1].number):
        phase = PHASES.index(step.phase)
        if step.number in seen:
            yield _at(place, step, "number_twice", "another step has this number.", "number")
        if phase < latest:
            words = f"a step before it is in a later phase. They come in this order: {', '.join(PHASES)}."
            yield _at(place, step, "phase_out_of_order", words, "phase")
        seen.add(step.number)
        latest = max(latest, phase)


def _of_returns(steps: Sequence[NewStep]) -> Iterator[Refusal]:
    """What comes back was counted before, answers one count, and is itself counted."""
    counts = {step.number for step in steps if step.sort == "count"}
    answered: set[int] = set()
    for place, step in enumerate(steps):
        is_return = step.sort == "count" and bool(step.rule.get("is_returned"))
        if step.returns is None:
            if is_return:
                words = "name the step whose pins, locks or tools come back here."
                yield _at(place, step, "nothing_to_return", words, "returns")
            continue
        if step.returns not in counts or step.returns >= step.number:
            words = f"step {step.returns} counts nothing before it that could come back here."
            yield _at(place, step, "nothing_to_return", words, "returns")
        elif not is_return:
            words = "what comes back is counted: make it a count whose rule has “is_returned”."
            yield _at(place, step, "return_not_counted", words, "rule")
        elif step.returns in answered:
            words = f"what step {step.returns} counts comes back at another step already."
            yield _at(place, step, "returned_twice", words, "returns")
        answered.add(step.returns)


def _of_posts(steps: Sequence[NewStep]) -> Iterator[Refusal]:
    posted: dict[str, int] = {}
    for place, step in sorted(enumerate(steps), key=lambda pair: pair[1].number):
        if not step.posts:
            continue
        if step.posts in posted:
            words = f"step {posted[step.posts]} records the {step.posts} already."
            yield _at(place, step, "recorded_twice", words, "posts")
        if step.posts == "removal" and "installation" in posted:
            words = "what goes on is recorded after what comes off."
            yield _at(place, step, "posts_out_of_order", words, "posts")
        posted.setdefault(step.posts, step.number)
