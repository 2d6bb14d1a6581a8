"""Bars told apart by their filling, not by colour: parts of a bar one on another, intervals on a line. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor, log10

from .time import percent

#: The fillings, in the order in which they are given out; the names of their patterns.
FILLINGS = ("solid", "rising", "dots", "falling", "level", "open")


@dataclass(frozen=True, slots=True)
class Piece:
    """A part of a bar: how far up it begins and ends (percent from above), its filling, what is said of it."""

    y: str
    height: str
    filling: str
    words: str


@dataclass(frozen=True, slots=True)
class Stack:
    """One bar of parts. ``mark_y``: where a second figure stands on it as a line; empty for none."""

    x: str
    width: str
    middle: str
    label: str
    pieces: tuple[Piece, ...]
    mark_y: str = ""
    mark_words: str = ""


@dataclass(frozen=True, slots=True)
class Stacks:
    """Bars beside each other under one scale; ``steps`` are its lines: how high (percent), and the number."""

    stacks: tuple[Stack, ...]
    steps: tuple[tuple[str, str], ...]


def stacks(
    labels: Sequence[str],
    parts: Sequence[tuple[str, str, Sequence[float]]],
    marks: Sequence[tuple[float, str]] = (),
) -> Stacks:
    """Bars of these labels. Each part: its name, its filling, its amount in each bar; each mark: a second amount
    and what is said of it."""
    sums = [sum(amounts[at] for _, _, amounts in parts) for at in range(len(labels))]
    top = top_of(max([*sums, *(amount for amount, _ in marks)], default=0))
    step = 100.0 / max(len(labels), 1)
    made = []
    for at, label in enumerate(labels):
        pieces, below = [], 0.0
        for name, filling, amounts in parts:
            if amounts[at] > 0:
                high = amounts[at] * 100.0 / top
                words = f"{label}, {name}: {amounts[at]:g}"
                pieces.append(Piece(percent(100 - below - high), percent(high), filling, words))
                below += high
        amount, words = marks[at] if marks else (0.0, "")
        made.append(
            Stack(
                x=percent(at * step + step * 0.14),
                width=percent(step * 0.72),
                middle=percent(at * step + step / 2),
                label=label,
                pieces=tuple(pieces),
                mark_y=percent(100 - amount * 100.0 / top) if marks else "",
                mark_words=words,
            )
        )
    return Stacks(tuple(made), tuple(steps_of(top)))


def top_of(most: float) -> float:
    """The top of a scale: the next 1, 2, 4, 5, 8 or 10 times a power of ten."""
    if most <= 0:
        return 1.0
    power = 10.0 ** floor(log10(most))
    return next(times * power for times in (1, 2, 4, 5, 8, 10) if times * power >= most)


def steps_of(top: float) -> list[tuple[str, str]]:
    """Four lines and the ground, by how far from above they are."""
    return [(percent(100 - share), f"{top * share / 100:g}") for share in (0, 25, 50, 75, 100)]


@dataclass(frozen=True, slots=True)
class Span:
    """A value between the least and the most it may be, on a scale of tens. ``is_open``: nothing bounds it above."""

    x: str
    width: str
    at: str
    is_open: bool


def spans(
    rows: Sequence[tuple[float, float | None, float | None]],
) -> tuple[list[Span], list[tuple[str, str]]]:
    """(least, value, most) of each row as places on one scale of tens, and the scale's marks. A value of None is
    drawn at no place; a most of None leads off the scale."""
    ends = [end for row in rows for end in row if end]
    if not ends:
        return [], []
    low, high = floor(log10(min(ends))), floor(log10(max(ends))) + 1

    def place(value: float) -> float:
        return min(max((log10(value) - low) * 100.0 / (high - low), 0.0), 100.0)

    made = []
    for least, value, most in rows:
        begin, end = place(least), place(most) if most else 100.0
        at = percent(place(value)) if value else ""
        made.append(Span(percent(begin), percent(max(end - begin, 0.4)), at, most is None))
    return made, [
        (
            percent(place(10.0**power)),
            f"{10.0**power:,.0f}".replace(",", "\u202f") if power >= 0 else f"{10.0**power:g}",
        )
        for power in range(low, high + 1)
    ]
