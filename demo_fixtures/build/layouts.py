"""The two invented aircraft types: their drawn cabins and the positions in them.

Centimetres: x from the nose, y from the centre line with left negative (see fleet.drawing.cabin).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class Spot:
    """One position of a layout."""

    code: str
    name: str
    kind: str
    zone: str
    access: str
    side: str
    x: int
    y: int
    capacity: int = 1


NARROW, WIDE = "HL-210", "HL-440"
TYPE_NAMES = {NARROW: "Halvane 210", WIDE: "Halvane 440"}
SIDES = {"L": ("left", -1), "R": ("right", 1)}


def _door(x: int, side: str, name: str, kind: str = "passenger", width: int = 86) -> dict[str, Any]:
    return {"x": x, "side": side, "width": width, "name": name, "kind": kind}


def _seats(start: int, end: int, rows: int, abreast: list[int], name: str) -> dict[str, Any]:
    return {"from": start, "to": end, "rows": rows, "abreast": abreast, "name": name}


def _box(name: str, start: int, end: int, y_from: int, y_to: int) -> dict[str, Any]:
    return {"name": name, "from": start, "to": end, "y_from": y_from, "y_to": y_to}


PLANS: dict[str, dict[str, Any]] = {
    NARROW: {
        "length": 3760,
        "width": 395,
        "nose": 430,
        "tail": 980,
        "cabin": [560, 2890],
        "doors": [
            _door(640, "left", "Door 1 left"),
            _door(640, "right", "Door 1 right", "service"),
            _door(1590, "left", "Overwing exit left", "overwing", 52),
            _door(1590, "right", "Overwing exit right", "overwing", 52),
            _door(2790, "left", "Door 2 left"),
            _door(2790, "right", "Door 2 right", "service"),
        ],
        "seats": [
            _seats(750, 1110, 4, [2, 2], "Forward cabin"),
            _seats(1130, 2680, 20, [3, 3], "Main cabin"),
        ],
        "monuments": [
            _box("Forward galley", 570, 690, 40, 180),
            _box("Forward lavatory", 690, 745, -180, -70),
            _box("Aft galley", 2840, 2890, -170, 170),
        ],
        "wing": {"from": 1330, "to": 1960, "tip_from": 1990, "tip_to": 2140, "span": 3560},
        "stabiliser": {"from": 3310, "to": 3620, "tip_from": 3570, "tip_to": 3700, "span": 1240},
        "engines": [{"from": 1190, "to": 1540, "y": 590, "width": 210}],
    },
    WIDE: {
        "length": 6380,
        "width": 572,
        "nose": 620,
        "tail": 1650,
        "cabin": [700, 5290],
        "doors": [
            _door(
                x, side, f"Door {number} {side}", "passenger" if side == "left" else "service", 107
            )
            for number, x in ((1, 800), (2, 1980), (3, 3560), (4, 5130))
            for side in ("left", "right")
        ],
        "seats": [
            _seats(930, 1880, 7, [1, 2, 1], "Forward cabin"),
            _seats(2090, 3450, 16, [2, 4, 2], "Mid cabin"),
            _seats(3670, 5010, 16, [2, 4, 2], "Aft cabin"),
        ],
        "monuments": [
            _box("Forward galley", 720, 890, -80, 80),
            _box("Mid galley", 1900, 2060, -110, 110),
            _box("Lavatories", 3480, 3640, -110, 110),
            _box("Aft galley", 5190, 5280, -220, 220),
        ],
        "wing": {"from": 2180, "to": 3330, "tip_from": 3600, "tip_to": 3830, "span": 6100},
        "stabiliser": {"from": 5560, "to": 6070, "tip_from": 6020, "tip_to": 6220, "span": 1980},
        "engines": [{"from": 2010, "to": 2560, "y": 960, "width": 330}],
    },
}


def _at_doors(doors: dict[int, int], half: int, slide_kind: str) -> list[Spot]:
    spots = []
    for number, x in doors.items():
        for letter, (side, sign) in SIDES.items():
            door, name = f"D{number}{letter}", f"Door {number} {side}"
            zone = f"8{number}{1 if letter == 'L' else 2}"
            what = "slide" if slide_kind == "SLIDE" else "slide-raft"
            spots += [
                Spot(
                    f"{door}-SLIDE", f"{name} {what}", slide_kind, zone, door, side, x, sign * half
                ),
                Spot(
                    f"{door}-CYL",
                    f"{name} emergency cylinder",
                    "DOORCYL",
                    zone,
                    door,
                    side,
                    x + 60,
                    sign * (half - 45),
                ),
            ]
    return spots


def _row(
    kind: str, prefix: str, name: str, places: list[tuple[int, int]], capacity: int = 1
) -> list[Spot]:
    """So many positions of one kind, numbered from the nose: x and y of each."""
    spots = []
    for number, (x, y) in enumerate(places, 1):
        side = "left" if y < -20 else "right" if y > 20 else "centre"
        zone = f"2{min(9, x // 640)}0"
        spots.append(
            Spot(
                f"{prefix}-{number}",
                f"{name} {number}",
                kind,
                zone,
                f"Z{zone}",
                side,
                x,
                y,
                capacity,
            )
        )
    return spots


def _narrow() -> list[Spot]:
    spots = _at_doors({1: 640, 2: 2790}, 182, "SLIDE")
    for letter, (side, sign) in SIDES.items():
        name, zone = f"Overwing {side}", f"19{1 if letter == 'L' else 2}"
        spots += [
            Spot(
                f"OW{letter}-SLIDE",
                f"{name} slide",
                "OWSLIDE",
                zone,
                f"OW{letter}",
                side,
                1650,
                sign * 182,
            ),
            Spot(
                f"OW{letter}-BTL",
                f"{name} slide bottle, in the fuselage",
                "BOTTLE",
                zone,
                f"OW{letter}",
                side,
                1720,
                sign * 140,
            ),
        ]
    spots += _row("EXT", "EXT", "Extinguisher", [(500, 60), (745, -95), (1620, 60), (2840, -90)])
    spots += _row(
        "OXY", "OXY", "Portable oxygen", [(720, 100), (1130, -150), (2680, 150), (2850, 60)]
    )
    spots += _row(
        "HOOD", "HOOD", "Breathing hood", [(520, -60), (700, 60), (2830, 20), (2860, -150)]
    )
    spots += _row("MEGA", "MEGA", "Megaphone", [(760, 150), (2700, -150)])
    spots += _row("ELT", "ELT", "Locator beacon", [(2900, 0), (690, -120)])
    spots += _row(
        "LPACK", "LPK", "Light battery pack", [(660, 0), (1120, 0), (1600, 0), (2200, 0), (2760, 0)]
    )
    spots += _row(
        "FPATH", "FPS", "Floor-path strip", [(900, -20), (1450, -20), (1950, 20), (2450, 20)]
    )
    spots += _row("VEST", "VBIN", "Vest bin", [(740, -40), (2750, 60)], capacity=6)
    return spots + _row("AID", "AID", "First-aid kit", [(750, 40), (2720, -60)])


def _wide() -> list[Spot]:
    spots = _at_doors({1: 800, 2: 1980, 3: 3560, 4: 5130}, 266, "RAFT")
    spots += _row(
        "EXT",
        "EXT",
        "Extinguisher",
        [
            (640, 60),
            (900, -100),
            (1900, 130),
            (2080, -230),
            (3460, 230),
            (3650, -130),
            (5030, 180),
            (5200, -240),
        ],
    )
    spots += _row(
        "OXY",
        "OXY",
        "Portable oxygen",
        [
            (910, 200),
            (1890, -230),
            (2070, 230),
            (3470, -230),
            (3660, 230),
            (5020, -230),
            (5180, 120),
            (5220, 240),
        ],
    )
    spots += _row(
        "HOOD",
        "HOOD",
        "Breathing hood",
        [
            (650, -60),
            (890, 60),
            (1920, 60),
            (2050, -60),
            (3500, 60),
            (3640, -60),
            (5190, -60),
            (5260, 60),
        ],
    )
    spots += _row("MEGA", "MEGA", "Megaphone", [(920, -220), (2100, 220), (5010, -200)])
    spots += _row("ELT", "ELT", "Locator beacon", [(5290, 0), (880, -150)])
    spots += _row(
        "LPACK",
        "LPK",
        "Light battery pack",
        [(830, 0), (1400, 0), (2000, 0), (2700, 0), (3580, 0), (4200, 0), (4700, 0), (5100, 0)],
    )
    spots += _row(
        "FPATH",
        "FPS",
        "Floor-path strip",
        [(1100, -90), (1700, 90), (2500, -90), (3100, 90), (4000, -90), (4700, 90)],
    )
    spots += _row(
        "VEST",
        "VBIN",
        "Vest bin",
        [(960, 100), (2110, -100), (3680, 100), (5000, -100)],
        capacity=6,
    )
    return spots + _row(
        "AID", "AID", "First-aid kit", [(930, -40), (2090, 60), (3670, -60), (5010, 60)]
    )


POSITIONS: dict[str, list[Spot]] = {NARROW: _narrow(), WIDE: _wide()}
