"""An aircraft type seen from above, drawn from its own layout data.

All lengths are centimetres: x along the fuselage from the nose, y from the centre line with
**left negative** (as a person in the cabin facing forward has it). ``AircraftType.plan`` is::

    {
      "length": 3760, "width": 395,            fuselage
      "nose": 430, "tail": 980,                how long it narrows, in front and behind
      "cabin": [590, 2890],                    where people are
      "doors": [{"x": 640, "side": "left", "width": 86, "name": "Door 1 left", "kind": "passenger"}],
      "seats": [{"from": 720, "to": 1250, "rows": 6, "abreast": [3, 3], "name": "Economy"}],
      "monuments": [{"name": "Galley", "from": 600, "to": 690, "y_from": -190, "y_to": -60}],
      "wing": {"from": 1290, "to": 1930, "tip_from": 1960, "tip_to": 2120, "span": 3580},
      "stabiliser": {"from": 3300, "to": 3620, "tip_from": 3560, "tip_to": 3700, "span": 1240},
      "engines": [{"from": 1180, "to": 1540, "y": 580, "width": 210}]      mirrored on the left
    }

Everything but the fuselage's length and width may be missing and is then not drawn. A door's
``kind`` is passenger, service, overwing or cargo; ``side`` left or right.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

from .frame import Box, Frame
from .targets import Place, Target, targets

Plan = dict[str, Any]
HULL_DEFAULT = {"length": 3000, "width": 360}


@dataclass(frozen=True, slots=True)
class CabinPlan:
    """The whole drawing in user units; every position's target is ``target`` units across."""

    width: float
    height: float
    hull: str
    shapes: tuple[str, ...]
    cabin: Box | None
    doors: tuple[Box, ...]
    seats: tuple[Box, ...]
    monuments: tuple[Box, ...]
    targets: tuple[Target, ...]
    target: int
    is_tall: bool

    @property
    def view_box(self) -> str:
        return f"0 0 {self.width:g} {self.height:g}"

    @property
    def left_x(self) -> float:
        """Where the word for the left side stands: seen from above, nose first, it is below or on the left."""
        return 30 if self.is_tall else 40

    @property
    def left_y(self) -> float:
        return 40 if self.is_tall else self.height - 14

    @property
    def right_x(self) -> float:
        return self.width - 30 if self.is_tall else 40

    @property
    def right_y(self) -> float:
        return 40 if self.is_tall else 22

    @property
    def middle(self) -> float:
        return round((self.width if self.is_tall else self.height) / 2, 1)


def cabin_plan(plan: Plan, places: Iterable[Place], *, is_tall: bool = False) -> CabinPlan:
    """Draws a type's layout with its positions; no two targets overlap, whatever the data."""
    data = {**HULL_DEFAULT, **plan}
    frame, width, height, target = _frame(data, is_tall)
    return CabinPlan(
        width=width,
        height=height,
        hull=_hull(data, frame),
        shapes=tuple(_shapes(data, frame)),
        cabin=_cabin(data, frame),
        doors=tuple(_door(door, data, frame) for door in data.get("doors", [])),
        seats=tuple(seat for block in data.get("seats", []) for seat in _seats(block, data, frame)),
        monuments=tuple(
            frame.box((m["from"], m["y_from"]), (m["to"], m["y_to"]), m.get("name", ""))
            for m in data.get("monuments", [])
        ),
        targets=tuple(targets(list(places), frame, target)),
        target=target,
        is_tall=is_tall,
    )


def _frame(data: Plan, is_tall: bool) -> tuple[Frame, float, float, int]:
    """Wide: 1320 units long, true to scale. Tall: 360 units across, shortened along."""
    length, breadth = float(data["length"]), float(data["width"])
    if is_tall:
        across = 222 / breadth
        frame = Frame(across * 0.6, across, 16, 180, True)
        return frame, 360, round(length * frame.along + 32), 46
    along = 1288 / length
    height = round(breadth * along + 260)
    return Frame(along, along, 16, height / 2, False), 1320, height, 32


def _hull(data: Plan, frame: Frame) -> str:
    """The outline: a rounded nose, straight sides, a long narrowing tail."""
    length, half = float(data["length"]), float(data["width"]) / 2
    nose, tail = float(data.get("nose", length * 0.12)), float(data.get("tail", length * 0.26))
    end = half * 0.16

    def to(x: float, y: float) -> str:
        return "{} {}".format(*frame.at(x, y))

    return (
        f"M{to(0, 0)}C{to(0, half * 0.62)} {to(nose * 0.45, half)} {to(nose, half)}"
        f"L{to(length - tail, half)}C{to(length - tail * 0.5, half)} {to(length - tail * 0.2, half * 0.42)} {to(length, end)}"
        f"L{to(length, -end)}C{to(length - tail * 0.2, -half * 0.42)} {to(length - tail * 0.5, -half)} {to(length - tail, -half)}"
        f"L{to(nose, -half)}C{to(nose * 0.45, -half)} {to(0, -half * 0.62)} {to(0, 0)}Z"
    )


def _shapes(data: Plan, frame: Frame) -> Iterable[str]:
    """Wing, stabiliser and engines, on both sides; the drawing's edge cuts the wing."""
    for name in ("wing", "stabiliser"):
        if part := data.get(name):
            for side in (1, -1):
                tip = side * part["span"] / 2
                yield frame.path(
                    [
                        (part["from"], 0),
                        (part["to"], 0),
                        (part["tip_to"], tip),
                        (part["tip_from"], tip),
                    ]
                )
    for engine in data.get("engines", []):
        for side in (1, -1):
            near, far = (
                side * (engine["y"] - engine["width"] / 2),
                side * (engine["y"] + engine["width"] / 2),
            )
            narrow = (far - near) * 0.2
            yield frame.path(
                [
                    (engine["from"], near),
                    (engine["from"], far),
                    (engine["to"], far - narrow),
                    (engine["to"], near + narrow),
                ]
            )


def _cabin(data: Plan, frame: Frame) -> Box | None:
    if "cabin" not in data:
        return None
    half = data["width"] / 2 - 14
    return frame.box((data["cabin"][0], -half), (data["cabin"][1], half))


def _door(door: Plan, data: Plan, frame: Frame) -> Box:
    half = data["width"] / 2
    side = -1 if door.get("side") == "left" else 1
    reach = door.get("width", 80) / 2
    near, far = (door["x"] - reach, side * (half - 6)), (door["x"] + reach, side * (half + 34))
    box = frame.box(near, far, door.get("name", ""), door.get("kind", "passenger"))
    return _named(box, frame, is_left=side < 0)


def _named(box: Box, frame: Frame, *, is_left: bool) -> Box:
    """The door with the place of its name, outside the fuselage."""
    if frame.is_tall:
        x = box.x - 4 if is_left else box.x + box.width + 4
        return replace(box, name_x=round(x, 1), name_y=round(box.y - 5, 1))
    y = box.y + box.height + 15 if is_left else box.y - 6
    return replace(box, name_x=round(box.x + box.width / 2, 1), name_y=round(y, 1))


def _seats(block: Plan, data: Plan, frame: Frame) -> Iterable[Box]:
    """Each bench of each row: ``abreast`` [3, 3] is two benches with an aisle between."""
    abreast = block["abreast"]
    room = data["width"] - 44
    aisle = 52.0
    seat = (room - aisle * (len(abreast) - 1)) / sum(abreast)
    pitch = (block["to"] - block["from"]) / block["rows"]
    for row in range(block["rows"]):
        x = block["from"] + row * pitch
        y = -room / 2
        for bench in abreast:
            near, far = (x + pitch * 0.14, y + 3), (x + pitch * 0.72, y + bench * seat - 3)
            yield frame.box(near, far, block.get("name", ""))
            y += bench * seat + aisle


__all__ = ["CabinPlan", "Place", "Plan", "cabin_plan"]
