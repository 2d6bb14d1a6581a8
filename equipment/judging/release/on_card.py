"""What a card says of its steps, and whether its hold points were kept: pure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from fleet.words.said import moment_words

from .state import Obstacle


@dataclass(frozen=True, slots=True)
class StepOnCard:
    """One step as its card has it: when it was done, when it was inspected; None where it does not say."""

    number: int
    done_at: datetime | None = None
    inspected_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class CardStep:
    """One step of the list that a card was worked by."""

    number: int
    words: str
    is_inspected: bool
    covers: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class HoldPoint:
    """An inspected step, and a later one that covers it: the inspection belongs between the two."""

    under: CardStep
    cover: CardStep


def hold_points_of(steps: Sequence[CardStep]) -> list[HoldPoint]:
    """Every hold point of a list, in the order of the work."""
    by_number = {step.number: step for step in steps}
    return [
        HoldPoint(by_number[number], step)
        for step in sorted(steps, key=lambda step: step.number)
        for number in sorted(step.covers)
        if number in by_number and by_number[number].is_inspected
    ]


def why_not_held(steps: Sequence[CardStep], said: Iterable[StepOnCard]) -> list[Obstacle]:
    """Where the times written on the card contradict an inspection: it came before the work was done, or
    after the work was covered."""
    by_number = {each.number: each for each in said}
    return [*_too_early(steps, by_number), *_too_late(steps, by_number)]


def _too_early(steps: Sequence[CardStep], said: dict[int, StepOnCard]) -> Iterator[Obstacle]:
    for step in steps:
        each = said.get(step.number)
        if each is None or each.done_at is None or each.inspected_at is None:
            continue
        if each.inspected_at < each.done_at:
            words = (
                f"The card has {_named(step)}, inspected at {moment_words(each.inspected_at)}, before it "
                f"was done at {moment_words(each.done_at)}."
            )
            yield Obstacle("inspected_before_sign_off", words, step.number)


def _too_late(steps: Sequence[CardStep], said: dict[int, StepOnCard]) -> Iterator[Obstacle]:
    for point in hold_points_of(steps):
        inspected, covered = _times(point, said)
        if inspected is not None and covered is not None and covered < inspected:
            words = (
                f"The card has step {point.cover.number} done at {moment_words(covered)}: it covers "
                f"{_named(point.under)}, which was inspected only at {moment_words(inspected)}. "
                "Uncover it, and have it inspected again."
            )
            yield Obstacle("covered_before_inspection", words, point.cover.number)


def not_shown(steps: Sequence[CardStep], said: Iterable[StepOnCard]) -> list[str]:
    """The hold points of which the card does not show that they were kept, each in a sentence.

    A card has no time of its own of each step, as an entry has: what it does not write is not guessed.
    The same minute for both shows nothing either.
    """
    by_number, found = {each.number: each for each in said}, []
    for point in hold_points_of(steps):
        inspected, covered = _times(point, by_number)
        if inspected is not None and covered is not None and inspected != covered:
            continue
        found.append(
            f"The card does not show that {_named(point.under)}, was inspected before step "
            f"{point.cover.number} covered it."
        )
    return found


def _times(
    point: HoldPoint, said: dict[int, StepOnCard]
) -> tuple[datetime | None, datetime | None]:
    """When the step was inspected, and when the one that covers it was done."""
    under, cover = said.get(point.under.number), said.get(point.cover.number)
    return (under.inspected_at if under else None, cover.done_at if cover else None)


def _named(step: CardStep) -> str:
    return f"step {step.number}, “{step.words.strip().rstrip('.')}”"
