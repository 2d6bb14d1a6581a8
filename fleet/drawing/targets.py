"""Positions as targets: where each is drawn, so that a finger hits one and only one."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from .frame import Frame
from .states import state_of

#: What needs nobody before a check that is far off.
QUIET = frozenset({"later-check", "beyond-plan", "quiet", "deactivated"})


@dataclass(frozen=True, slots=True)
class Place:
    """A position to draw: where it is, the state of what is there, where its link leads."""

    code: str
    name: str
    x_cm: int
    y_cm: int
    state: str
    href: str
    words: str
    letter: str = ""


@dataclass(frozen=True, slots=True)
class Target:
    """A position as drawn: a centre, and the true place if it had to be moved aside."""

    place: Place
    cx: float
    cy: float
    true_x: float
    true_y: float
    icon: int = 16

    @property
    def is_loud(self) -> bool:
        """Whether it needs a hand: then it is drawn large, with its name."""
        return state_of(self.place.state).is_loud

    @property
    def is_dot(self) -> bool:
        """Whether it is quiet enough for a dot, so that doors and seats are seen behind it."""
        return self.place.state in QUIET

    @property
    def below(self) -> float:
        """Where its name stands under it."""
        return round(self.cy + self.icon / 2 + 21, 1)

    @property
    def is_aside(self) -> bool:
        return abs(self.cx - self.true_x) + abs(self.cy - self.true_y) > 3

    @property
    def left(self) -> float:
        return round(self.cx - self.icon / 2, 1)

    @property
    def top(self) -> float:
        return round(self.cy - self.icon / 2, 1)


def targets(places: list[Place], frame: Frame, target: int) -> Iterable[Target]:
    """Sorts positions into lanes across the fuselage and spreads each lane along it.

    Within a lane neighbours stand a target apart, as near to their true places as that allows.
    """
    apart = target + 3
    lanes: dict[int, list[Place]] = {}
    for place in places:
        lanes.setdefault(round(place.y_cm * frame.across / apart), []).append(place)
    for lane, members in sorted(lanes.items()):
        members.sort(key=lambda p: (p.x_cm, p.y_cm, p.code))
        wished = [frame.margin + p.x_cm * frame.along for p in members]
        for place, along in zip(members, spread(wished, apart), strict=True):
            across = lane * apart
            cx, cy = (
                (frame.middle + across, along) if frame.is_tall else (along, frame.middle - across)
            )
            true_x, true_y = frame.at(place.x_cm, place.y_cm)
            icon = _icon(place, is_tall=frame.is_tall)
            yield Target(place, round(cx, 1), round(cy, 1), true_x, true_y, icon)


def _icon(place: Place, *, is_tall: bool) -> int:
    """How large the mark is drawn: of what is quiet small; the target around it is the same."""
    if place.state in QUIET:
        return 14 if is_tall else 10
    return 24 if is_tall else 16


def spread(wished: list[float], apart: float) -> list[float]:
    """Places in the given order, at least ``apart`` from each other, moved as little as can be.

    Neighbours that would touch are pooled into a block centred on the mean of their wishes
    (isotonic regression by pooling adjacent violators).
    """
    blocks: list[tuple[float, int]] = []
    for index, wish in enumerate(wished):
        mean, size = wish - index * apart, 1
        while blocks and blocks[-1][0] > mean:
            before, count = blocks.pop()
            mean = (before * count + mean * size) / (count + size)
            size += count
        blocks.append((mean, size))
    flat = [mean for mean, size in blocks for _ in range(size)]
    return [round(mean + index * apart, 1) for index, mean in enumerate(flat)]
