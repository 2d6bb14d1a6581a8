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
TOO_MANY = Refusal("too_many_steps", f"At most {MOST_STEPS} steps, please.", "steps")


@dataclass(frozen=True, slots=True)
class NewStep:
    """One step as the operator enters it; ``rule`` as its sort's module tells in `equipment.judging.sorts`."""

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
    covers: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong with the step at ``place`` of a list: a code, a sentence, the name that it is of.

    ``name`` is one of :class:`NewStep`; where it is ``rule``, ``of_rule`` is the name in it, if known.
    """

    place: int
    code: str
    sentence: str
    name: str
    of_rule: str = ""


def why_not_steps(steps: Sequence[NewStep]) -> list[Refusal]:
    """Everything wrong with the steps of one list, each at ``steps.<place>.<name>`` with its number."""
    if not steps:
        return [Refusal("steps_missing", "A list has at least one step.", "steps")]
    if len(steps) > MOST_STEPS:
        return [TOO_MANY]
    return [
        Refusal(
            fault.code,
            f"Step {steps[fault.place].number}: {fault.sentence}",
            f"steps.{fault.place}.{fault.name}",
        )
        for fault in faults_of_each(steps) or faults_of_whole(steps)
    ]


def faults_of_each(steps: Sequence[NewStep]) -> list[Fault]:
    """What is wrong with each step by itself."""
    return [fault for place, step in enumerate(steps) for fault in _of_one(place, step)]


def faults_of_whole(steps: Sequence[NewStep]) -> list[Fault]:
    """What is wrong with steps among each other, once each of them is right by itself."""
    return [*_of_order(steps), *_of_returns(steps), *_of_posts(steps), *_of_covers(steps)]


def _of_one(place: int, step: NewStep) -> Iterator[Fault]:
    if not 1 <= step.number <= MOST_NUMBER:
        words = f"numbers go from 1 to {MOST_NUMBER}."
        yield Fault(place, "number_out_of_range", words, "number")
    if step.phase not in PHASES:
        words = f"“{step.phase}” is no phase. They are: {', '.join(PHASES)}."
        yield Fault(place, "unknown_phase", words, "phase")
    if step.posts not in POSTS:
        words = "it records the removal, the installation or nothing."
        yield Fault(place, "unknown_posts", words, "posts")
    if not step.words.strip():
        yield Fault(place, "missing", "say what is done.", "words")
    for name, most in LENGTHS.items():
        if len(getattr(step, name)) > most:
            yield Fault(place, "too_long", f"no longer than {most} characters, please.", name)
        elif "\x00" in getattr(step, name):
            yield Fault(place, "unreadable", "this cannot be read. Type it again.", name)
    yield from _of_rule(place, step)


def _of_rule(place: int, step: NewStep) -> Iterator[Fault]:
    if step.sort not in SORTS:
        words = f"“{step.sort}” is no sort of step. They are: {', '.join(SORTS)}."
        yield Fault(place, "sort_unknown", words, "sort")
        return
    written = json.dumps(step.rule, default=str)
    if "\\u0000" in written or len(written) > MOST_RULE:
        yield Fault(place, "unreadable", "its rule cannot be read, or is too long.", "rule")
        return
    rule = rule_of(step.sort, step.rule)
    for problem in rule if isinstance(rule, list) else ():
        yield Fault(place, problem.code, problem.sentence, "rule", problem.field or "")


def _of_order(steps: Sequence[NewStep]) -> Iterator[Fault]:
    latest, seen = 0, set()
    for place, step in sorted(enumerate(steps), key=lambda pair: pair[1].number):
        phase = PHASES.index(step.phase)
        if step.number in seen:
            yield Fault(place, "number_twice", "another step has this number.", "number")
        if phase < latest:
            words = f"a step before it is in a later phase. They come in this order: {', '.join(PHASES)}."
            yield Fault(place, "phase_out_of_order", words, "phase")
        seen.add(step.number)
        latest = max(latest, phase)


def _of_returns(steps: Sequence[NewStep]) -> Iterator[Fault]:
    """What comes back was counted before, answers one count, and is itself counted."""
    counts = {step.number for step in steps if step.sort == "count"}
    answered: set[int] = set()
    for place, step in enumerate(steps):
        is_return = step.sort == "count" and bool(step.rule.get("is_returned"))
        if step.returns is None:
            if is_return:
                words = "name the step whose pins, locks or tools come back here."
                yield Fault(place, "nothing_to_return", words, "returns")
            continue
        if step.returns not in counts or step.returns >= step.number:
            words = f"step {step.returns} counts nothing before it that could come back here."
            yield Fault(place, "nothing_to_return", words, "returns")
        elif not is_return:
            words = "what comes back is counted: make it a count whose rule has “is_returned”."
            yield Fault(place, "return_not_counted", words, "rule")
        elif step.returns in answered:
            words = f"what step {step.returns} counts comes back at another step already."
            yield Fault(place, "returned_twice", words, "returns")
        answered.add(step.returns)


def _of_posts(steps: Sequence[NewStep]) -> Iterator[Fault]:
    posted: dict[str, int] = {}
    for place, step in sorted(enumerate(steps), key=lambda pair: pair[1].number):
        if not step.posts:
            continue
        if step.posts in posted:
            words = f"step {posted[step.posts]} records the {step.posts} already."
            yield Fault(place, "recorded_twice", words, "posts")
        if step.posts == "removal" and "installation" in posted:
            words = "what goes on is recorded after what comes off."
            yield Fault(place, "posts_out_of_order", words, "posts")
        posted.setdefault(step.posts, step.number)


def _of_covers(steps: Sequence[NewStep]) -> Iterator[Fault]:
    """What is covered comes before, and a second person inspects it: else there is nothing to wait for."""
    inspected = {step.number for step in steps if step.is_inspected}
    for place, step in enumerate(steps):
        for number in step.covers:
            if number not in inspected or number >= step.number:
                words = f"step {number} is no inspected step before it: it waits for the inspection of those."
                yield Fault(place, "nothing_to_cover", words, "covers")


def step_numbers_of(text: str) -> tuple[int, ...] | None:
    """The numbers of steps in a text such as ``13, 14``; None if it is anything else."""
    parts = [part for part in text.replace(",", " ").split() if part]
    if not all(part.isascii() and part.isdigit() and len(part) <= 5 for part in parts):
        return None
    return tuple(int(part) for part in parts)
