"""From an aircraft's centimetres to a drawing's units."""

from __future__ import annotations

from dataclasses import dataclass

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle with a name: a seat, a monument, a door."""

    x: float
    y: float
    width: float
    height: float
    name: str = ""
    sort: str = ""
    name_x: float = 0
    name_y: float = 0


@dataclass(frozen=True, slots=True)
class Frame:
    """From centimetres to the drawing. Wide: nose to the left, so left is below. Tall: nose up."""

    along: float
    across: float
    margin: float
    middle: float
    is_tall: bool

    def at(self, x_cm: float, y_cm: float) -> tuple[float, float]:
        along, across = self.margin + x_cm * self.along, y_cm * self.across
        if self.is_tall:
            return round(self.middle + across, 1), round(along, 1)
        return round(along, 1), round(self.middle - across, 1)

    def box(self, near: Point, far: Point, name: str = "", sort: str = "") -> Box:
        (ax, ay), (bx, by) = self.at(*near), self.at(*far)
        return Box(
            min(ax, bx), min(ay, by), round(abs(bx - ax), 1), round(abs(by - ay), 1), name, sort
        )

    def path(self, points: list[Point]) -> str:
        return "M" + "L".join("{} {}".format(*self.at(*point)) for point in points) + "Z"
