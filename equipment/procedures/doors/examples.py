"""Examples of the operator's data of the line. Everything in them is invented."""

from __future__ import annotations

from typing import Any

_STEP: dict[str, Any] = {
    "caution": "",
    "document": "",
    "rule": {},
    "is_needed": True,
    "is_inspected": False,
    "posts": "",
    "returns": None,
    "earns": "",
    "covers": [],
}
STEPS: list[dict[str, Any]] = [
    {
        **_STEP,
        "number": 1,
        "phase": "make_safe",
        "sort": "count",
        "words": "Fit the safety pin. Pins fitted:",
        "rule": {"what": "safety pins"},
        "caution": "Without the pin it can discharge.",
    },
    {
        **_STEP,
        "number": 2,
        "phase": "remove",
        "sort": "confirm",
        "words": "Lift it out. Record what came off.",
        "posts": "removal",
    },
    {
        **_STEP,
        "number": 3,
        "phase": "install",
        "sort": "confirm",
        "words": "Lift it in. Record what went on.",
        "posts": "installation",
    },
    {
        **_STEP,
        "number": 4,
        "phase": "install",
        "sort": "torque",
        "words": "Mount bolts.",
        "rule": {"low": "50", "high": "70", "unit": "in-lb", "has_drag": True, "needs_tool": True},
        "is_inspected": True,
    },
    {
        **_STEP,
        "number": 5,
        "phase": "restore",
        "sort": "count",
        "words": "Take the pin out. Pins returned:",
        "rule": {"what": "safety pins", "is_returned": True},
        "returns": 1,
        "is_inspected": True,
    },
]
STEP_LIST_SENT: dict[str, Any] = {
    "code": "DS-STEPS",
    "revision": "1",
    "title": "Door slide: off and on",
    "kind": "door-slide",
    "document": "CM 25-61-1",
    "document_revision": "5",
    "from_on": "2024-01-01",
    "steps": STEPS,
}
STEP_LIST: dict[str, Any] = {"id": 3, **STEP_LIST_SENT, "part_number": None}
RULE_SET_SENT: dict[str, Any] = {
    "code": "SIGN-A",
    "revision": "4",
    "document": "MOE 2.23",
    "from_on": "2024-02-01",
    "may_reinspect": True,
    "warns_same_mistake": True,
    "needs_dual_release": False,
    "step_statement": "I have done this step as the data require.",
    "inspection_statement": "I have inspected this step independently.",
    "reinspection_statement": "I have inspected my own work again, in unforeseen circumstances.",
    "release_statement": "I certify that this work was carried out as the data named require.",
    "programme": "",
    "aircraft": None,
}
RULE_SET: dict[str, Any] = {"id": 2, **RULE_SET_SENT}
CHART_SENT: dict[str, Any] = {
    "part_number": "HS-4410-3",
    "maker": "HS01",
    "revision": "2",
    "gas": "nitrogen",
    "charge": "3000 psi",
    "charge_at": "70 °F",
    "points": [[32.0, 2707.0, 2807.0], [70.0, 2950.0, 3050.0], [100.0, 3142.0, 3242.0]],
    "document": "CMM 25-61-1",
    "from_on": "2024-01-01",
}
CHART: dict[str, Any] = {
    "id": 5,
    "part_number": "HS-4410-3",
    "revision": "2",
    "gas": "nitrogen",
    "charge_psig": 3000.0,
    "charge_at_f": 70.0,
    "points": CHART_SENT["points"],
    "document": "CMM 25-61-1",
    "from_on": "2024-01-01",
}
TOOL: dict[str, Any] = {
    "id": 8,
    "code": "VT-122",
    "sort": "wrench",
    "description": "Torque wrench, 20 to 100 in-lb",
    "serial_number": "TW-5521",
    "station": "LYD",
    "length_mm": 230.0,
    "measures": "20 to 100 in-lb",
    "at_least_yearly": True,
}
_CALIBRATED: dict[str, Any] = {
    "tool": "VT-104",
    "done_on": "2024-03-04",
    "due_on": "2025-03-03",
    "certificate": "CAL-2024-118",
}
CALIBRATION: dict[str, Any] = {
    "id": 11,
    "sort": "calibrated",
    **_CALIBRATED,
    "recorded_at": "2024-03-04T10:12:00Z",
}
