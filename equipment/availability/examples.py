"""Examples of what is done beside a swap. Everything in them is invented."""

from __future__ import annotations

from typing import Any

from equipment.common.doors.examples import PLACE

_ACT = "0b8c0d1e-7c58-4d0c-8f3c-0f2f6d1f6c{:02d}"
_THERE = {"sort": "aircraft", "aircraft": "Q-AVEN", "position": "D1L-SLIDE"}
_AT = "2024-03-03T14:05:00Z"
RESERVATION: dict[str, Any] = {
    "id": 44,
    "unit": 512,
    "place": PLACE,
    "need_on": "2098-03-03",
    "words": "For the spring check.",
    "reserved_at": "2027-03-03T14:05:00Z",
    "reserved_by": "s.ames",
    "issued_at": None,
    "ended_at": None,
    "ended_how": "",
}
REQUALIFICATION: dict[str, Any] = {
    "id": 9,
    "unit": 512,
    "marking": "A1 9 23 32",
    "requalifier": "A123",
    "done_on": "2023-09-01",
    "method": "volumetric",
    "specification": "3HT",
    "verdict": "in",
    "sentence": "A permanent expansion of 4.3 % is within 10 % of the total.",
    "operator": "Lee Shore Cylinders",
    "document": "LSC-2023-881",
}
MARKING: dict[str, Any] = {
    "id": 3,
    "unit": 512,
    "specification": "3AA",
    "service_psig": 1850.0,
    "test_psig": 3083.0,
    "marks": "+★",
    "requalifier": "A123",
    "read_on": "2024-03-03",
    "document": "",
    "recorded_by": "s.ames",
}
