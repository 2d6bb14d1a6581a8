"""Examples for the schema. Everything in them is invented."""

from __future__ import annotations

from typing import Any

from .acts.allowances import GRANT_EXTENSION

DUE: dict[str, Any] = {
    "id": 2147483651,
    "band": "next-check",
    "by_days": "",
    "work": "Overhaul",
    "limit": "SL-OH rev 4",
    "registration": "Q-AVEN",
    "station": "LYD",
    "position": "D1L-SLIDE",
    "inside": "",
    "unit": 512,
    "part_number": "HS-4410-3",
    "serial_number": "A00731",
    "description": "Slide, door 1 left",
    "maker": "HALY",
    "line_unit": None,
    "line_part_number": "",
    "line_serial_number": "",
    "start_on": "2024-06-30",
    "due_on": "2027-06-30",
    "until_on": "2027-06-30",
    "is_projected": False,
    "due_at_minutes": None,
    "due_at_cycles": None,
    "due_at_other": None,
    "other_measure": "",
    "other_is_hours": False,
    "decided_by": "36 months since last overhaul",
    "left_days": 119,
    "left_minutes": None,
    "left_cycles": None,
    "left_other": None,
    "missing": [],
    "worst_on": None,
    "notes": [],
    "check_name": "C4",
    "check_starts_on": "2027-06-07",
    "check_id": 77,
    "is_stale": False,
    "grounds_aircraft": False,
}
PAGE: dict[str, Any] = {
    "next": None,
    "as_of": "2027-03-03",
    "counts": {"overdue": 0, "next-check": 1},
    "grounding": 0,
    "results": [DUE],
}
EXPLANATION: dict[str, Any] = {
    "item": DUE,
    "steps": [
        "Last overhaul released on 30 Jun 2024 (certificate HS-20931).",
        "36 months are added: 30 Jun 2027.",
    ],
    "others": [],
    "clocks": [
        {
            "label": "36 months since last overhaul",
            "start_on": "2024-06-30",
            "due_on": "2027-06-30",
            "detail": "",
        }
    ],
    "document": "MP-1 rev 4",
}
WORK: dict[str, Any] = {
    "unit": 512,
    "aircraft": None,
    "position": None,
    "id": 8120,
    "work": "overhaul",
    "limit_code": "",
    "done_on": "2024-02-26",
    "precision": "day",
    "released_on": None,
    "shop_released_on": "2024-03-01",
    "original_due_on": None,
    "original_due_minutes": None,
    "original_due_cycles": None,
    "method": "",
    "total_minutes": None,
    "total_cycles": None,
    "result": "passed",
    "who": "Harbour Slides",
    "document": "CMM 25-60-11",
    "certificate": "HS-20931",
    "authorisation": "",
    "corrects": None,
    "is_annulment": False,
    "act_id": "7d3a1f0e-1f1d-4d53-9a7e-0e8a5b2f7c21",
    "recorded_at": "2024-03-03T08:02:00Z",
}
EXTENSION: dict[str, Any] = {
    **GRANT_EXTENSION.example,
    "aircraft": None,
    "position": None,
    "minutes": 0,
    "count": 0,
    "recorded_at": "2027-03-03T08:02:00Z",
}
DISPOSITION: dict[str, Any] = {
    "limit": "AD-2027-01-A",
    "revision": "1",
    "unit": 512,
    "sort": "not_applicable",
    "on": "2027-03-03",
    "reason": "Serial number is not listed.",
    "document": "",
    "recorded_at": "2027-03-03T08:02:00Z",
}
