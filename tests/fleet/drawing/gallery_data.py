"""Invented data for the gallery of parts: two types whose layouts differ, lines, checks, use."""

from __future__ import annotations

from datetime import date
from typing import Any

from fleet.drawing.cabin import Place
from fleet.drawing.checks import PlannedCheck
from fleet.drawing.lifeline import LifeLine

TODAY = date(2026, 11, 25)
CHECKS = ((date(2027, 2, 1), "C1"), (date(2027, 9, 6), "C2"))

LONG_TYPE: dict[str, Any] = {
    "length": 3760,
    "width": 395,
    "nose": 430,
    "tail": 980,
    "cabin": [590, 2990],
    "doors": [
        {"x": 640, "side": side, "width": 86, "kind": kind}
        for side, kind in (("left", "passenger"), ("right", "service"))
    ]
    + [
        {"x": x, "side": side, "width": 52, "kind": "overwing"}
        for x in (1560, 1650)
        for side in ("left", "right")
    ]
    + [{"x": 2900, "side": side, "width": 78, "kind": "passenger"} for side in ("left", "right")],
    "seats": [
        {"from": 760, "to": 1020, "rows": 3, "abreast": [2, 2], "name": "Front"},
        {"from": 1040, "to": 2780, "rows": 22, "abreast": [3, 3], "name": "Main"},
    ],
    "monuments": [
        {"name": "Galley", "from": 690, "to": 745, "y_from": 60, "y_to": 185},
        {"name": "Galley", "from": 2800, "to": 2860, "y_from": -185, "y_to": 185},
    ],
    "wing": {"from": 1290, "to": 1930, "tip_from": 2160, "tip_to": 2320, "span": 3580},
    "stabiliser": {"from": 3260, "to": 3560, "tip_from": 3600, "tip_to": 3720, "span": 1240},
    "engines": [{"from": 1160, "to": 1540, "y": 575, "width": 210}],
}
SHORT_TYPE: dict[str, Any] = {
    "length": 2720,
    "width": 286,
    "nose": 360,
    "tail": 820,
    "cabin": [420, 1960],
    "doors": [
        {"x": 480, "side": "left", "width": 76, "kind": "passenger"},
        {"x": 500, "side": "right", "width": 61, "kind": "service"},
        {"x": 1900, "side": "left", "width": 71, "kind": "passenger"},
        {"x": 1900, "side": "right", "width": 61, "kind": "service"},
    ],
    "seats": [{"from": 560, "to": 1840, "rows": 17, "abreast": [2, 2], "name": "Main"}],
    "wing": {"from": 980, "to": 1250, "tip_from": 1060, "tip_to": 1200, "span": 2700},
    "stabiliser": {"from": 2380, "to": 2620, "tip_from": 2480, "tip_to": 2620, "span": 820},
    "engines": [{"from": 860, "to": 1150, "y": 400, "width": 120}],
}


def places(count_by_row: list[tuple[int, list[int]]], states: list[str]) -> list[Place]:
    """Positions at (x, [y ...]), their states taken in turn."""
    found = []
    for x, ys in count_by_row:
        for y in ys:
            state = states[len(found) % len(states)]
            code = f"P{len(found) + 1}"
            found.append(Place(code, code, x, y, state, f"#{code}", f"{code}: {state}"))
    return found


LONG_PLACES = places(
    [
        (640, [-190, 190]),
        (655, [-190, 190, -100, 40]),
        (900, [0]),
        (1560, [-190, 190]),
        (1650, [-190, 190]),
        (1660, [0]),
        (2200, [0]),
        (2880, [-80, 80]),
        (2900, [-190, 190]),
        (2910, [-190, 190]),
    ],
    [
        "later-check",
        "later-check",
        "next-check",
        "quiet",
        "overdue",
        "beyond-plan",
        "later-check",
        "out-of-phase",
        "later-check",
        "no-basis",
        "not-fitted",
        "deactivated",
    ],
)
SHORT_PLACES = places(
    [(480, [-130, -60]), (500, [130]), (800, [0]), (1400, [0]), (1900, [-130, 130]), (1910, [0])],
    ["later-check", "beyond-plan", "later-check", "next-check", "before-return"],
)


def line(label: str, start: date | None, due: date | None, **more: Any) -> LifeLine:
    return LifeLine(today=TODAY, label=label, start_on=start, due_on=due, checks=CHECKS, **more)


ROWS = [
    ("overdue", line("Hydrostatic test", date(2021, 9, 30), date(2026, 9, 30))),
    ("no-basis", line("Overhaul", None, None, worst_on=date(2027, 1, 12))),
    ("no-basis", line("Life limit", None, None)),
    ("out-of-phase", line("Battery replacement", date(2024, 1, 20), date(2027, 1, 20))),
    ("next-check", line("Overhaul", date(2024, 3, 3), date(2027, 3, 3), until_on=date(2027, 5, 3))),
    ("later-check", line("Weight check", date(2026, 8, 1), date(2027, 10, 1))),
    ("beyond-plan", line("Life limit", date(2010, 8, 1), date(2034, 10, 1))),
]
CLOCKS = [
    line("36 months from last overhaul", date(2024, 3, 3), date(2027, 3, 3), detail="decides"),
    line("4 380 fillings", date(2019, 3, 3), date(2029, 6, 3), detail="823 days behind"),
    line(
        "24 years from manufacture", date(2010, 5, 1), date(2034, 5, 31), detail="2 646 days behind"
    ),
]
PLANNED = [
    PlannedCheck(
        "C1", date(2027, 2, 1), date(2027, 2, 12), "NRV", due_before=2, due_at=7, href="#C1"
    ),
    PlannedCheck(
        "night stop", date(2027, 2, 18), date(2027, 2, 18), "OST", is_overnight=True, due_at=1
    ),
    PlannedCheck("C2", date(2027, 9, 6), date(2027, 9, 20), "NRV", due_at=14),
    PlannedCheck("A9", date(2028, 1, 20), date(2028, 1, 22), "NRV", due_at=3),
]
MONTHS = [(date(2025 + m // 12, m % 12 + 1, 1), 210.0 + (m * 37) % 90) for m in range(23)]
