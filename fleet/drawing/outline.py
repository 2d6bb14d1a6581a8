"""A cabin drawn from the names and sides of its doors alone: nobody measures for it, everything can be moved.

Plain geometry over plain data. Lengths in centimetres as in :mod:`.cabin`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

LENGTH, WIDTH = 3000, 360
#: From the nose to the first door, and from the last door to the tail, as shares of the length.
FIRST, LAST = 0.16, 0.76
LEFT, RIGHT, CENTRE = "left", "right", "centre"
_SIDES = {
    "left": LEFT,
    "right": RIGHT,
    "l": LEFT,
    "r": RIGHT,
    "lh": LEFT,
    "rh": RIGHT,
    "port": LEFT,
    "starboard": RIGHT,
    "l/h": LEFT,
    "r/h": RIGHT,
}
_NUMBER_AND_SIDE = re.compile(r"^[A-Z]*(\d+)(L|R)(?:[^A-Z]|$)")


@dataclass(frozen=True, slots=True)
class Door:
    """A door as it is called: ``station`` groups those that face each other (``1`` of Door 1 left)."""

    name: str
    side: str
    station: str
    kind: str

    @property
    def is_sided(self) -> bool:
        return self.side in (LEFT, RIGHT)


def side_of(words: str) -> str:
    """``left`` or ``right`` as a name or code says it (Door 1 left, D1L-SLIDE, OWE LH), else ``centre``."""
    for word in re.split(r"[\s,;_()-]+", words.strip().lower()):
        if word in _SIDES:
            return _SIDES[word]
    found = _NUMBER_AND_SIDE.match(words.strip().upper())
    return {"L": LEFT, "R": RIGHT}[found[2]] if found else CENTRE


def door_of(line: str) -> Door:
    """A door out of its name: Door 1 left, Overwing exit right, D2R."""
    name = " ".join(line.split())
    lower = name.lower()
    kind = "overwing" if "wing" in lower or lower.startswith("owe") else "passenger"
    kind = "cargo" if "cargo" in lower else "service" if "service" in lower else kind
    return Door(name, side_of(name), _station(name), kind)


def _station(words: str) -> str:
    """What faces each other has in common: the number, else the words without the side."""
    if found := re.search(r"\d+", words):
        return str(int(found[0]))
    rest = (word for word in re.split(r"[\s,;_()-]+", words.lower()) if word not in _SIDES)
    return " ".join(word for word in rest if word)


def plan_of(doors: Sequence[Door], before: Mapping[str, Any]) -> dict[str, Any]:
    """The drawing with these doors, evenly along the fuselage in their order; a door of a name that was
    there stays where it was, and all else of the drawing stays."""
    length, width = int(before.get("length", LENGTH)), int(before.get("width", WIDTH))
    there = {(door.get("name"), door.get("side")): door for door in before.get("doors", [])}
    stations = list(dict.fromkeys(door.station for door in doors))
    places = {station: _along(at, len(stations), length) for at, station in enumerate(stations)}
    drawn = [
        there.get((door.name, door.side))
        or {
            "x": places[door.station],
            "side": door.side,
            "width": 56 if door.kind == "overwing" else 86,
            "name": door.name,
            "kind": door.kind,
        }
        for door in doors
    ]
    return {
        "cabin": [round(length * 0.13), round(length * 0.79)],
        **before,
        "length": length,
        "width": width,
        "doors": drawn,
    }


def _along(at: int, count: int, length: int) -> int:
    share = FIRST if count == 1 else FIRST + (LAST - FIRST) * at / (count - 1)
    return round(length * share)


def place_at(
    code: str, name: str, side: str, plan: Mapping[str, Any], others: Iterable[tuple[int, int]]
) -> tuple[int, int]:
    """Where a position is drawn at first: at the door that its code or name means, on its side; else in
    the middle of the cabin. Behind what is there already."""
    length, width = int(plan.get("length", LENGTH)), int(plan.get("width", WIDTH))
    half = round(width / 2)
    y = {LEFT: -half, RIGHT: half}.get(side, 0)
    x = round(length * 0.45)
    for door in plan.get("doors", []):
        means = {_station(code), _station(name)}
        if _station(str(door.get("name", ""))) in means and door.get("side") in (side, None):
            x = int(door["x"])
            break
    taken = set(others)
    while (x, y) in taken:
        x += 45
    return min(x, length), y
