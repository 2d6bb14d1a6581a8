"""Examples for the schema. Everything in them is invented."""

from __future__ import annotations

from typing import Any

PLACE: dict[str, Any] = {
    "sort": "aircraft",
    "aircraft": "Q-AVEN",
    "position": "D1L-SLIDE",
    "inside_unit": None,
    "station": None,
    "name": "",
}
#: A picture of one grey point, as programs bring it.
FILE_SENT: dict[str, Any] = {
    "name": "card-4711.png",
    "content": "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAAAAAA6fptVAAAACklEQVR4nGNoAAAAggCBd81ytgAAAABJRU5ErkJggg==",
}
#: A place as programs say it.
PLACE_SENT: dict[str, Any] = {
    "sort": "aircraft",
    "aircraft": "Q-AVEN",
    "position": "D1L-SLIDE",
}
STORE: dict[str, Any] = {
    **PLACE,
    "sort": "store",
    "aircraft": None,
    "position": None,
    "station": "LYD",
}
UNIT: dict[str, Any] = {
    "id": 512,
    "part_number": "HS-4410-3",
    "serial_number": "A00731",
    "original_part_number": "HS-4410-1",
    "maker": "HS01",
    "description": "Slide, door 1 left",
    "kind": "door-slide",
    "standard": "B",
    "manufactured_on": "2019-02-01",
    "manufactured_precision": "month",
    "stated_life_months": None,
    "quantity": 1,
    "merged_into": None,
    "place": PLACE,
}
MOVEMENT: dict[str, Any] = {
    "id": 90311,
    "unit": 512,
    "sort": "installed",
    "to_place": PLACE,
    "happened_at": "2027-03-03T14:05:00Z",
    "precision": "instant",
    "zone": "Europe/London",
    "day_order": 0,
    "aircraft_minutes": 740730,
    "aircraft_cycles": 9120,
    "log_page": "4711/3",
    "document": "WO-2231",
    "reason": "",
    "quantity": 1,
    "corrects": None,
    "corrected_by": None,
    "is_annulled": False,
    "is_conforming": True,
    "reasons": [],
    "act_id": "0b8c0d1e-7c58-4d0c-8f3c-0f2f6d1f6a01",
    "recorded_at": "2027-03-03T14:20:11Z",
    "recorded_by": "t.holm",
}
PAPERS: dict[str, Any] = {
    "certificates": [
        {
            "id": 77,
            "form": "Release certificate",
            "tracking_number": "HS-20931",
            "issued_on": "2026-11-20",
            "issuer": "Harbour Slides",
            "status": "overhauled",
            "remarks": "",
        }
    ],
    "life_statements": [
        {
            "id": 31,
            "measure": "FH",
            "unit": "minutes",
            "stated_on": "2026-11-20",
            "total": 512400,
            "since": "new",
            "source": "HS-20931",
            "quality": "certificate",
            "corrects": None,
        }
    ],
    "titles": [],
    "identifications": [
        {
            "part_number": "HS-4410-3",
            "standard": "B",
            "from_on": "2023-04-02",
            "document": "SB-44-01",
        }
    ],
}
MOVEMENT_SENT: dict[str, Any] = {
    "unit": 512,
    "sort": "installed",
    "place": {"sort": "aircraft", "aircraft": "Q-AVEN", "position": "D1L-SLIDE"},
    "happened_at": "2024-03-03T14:05:00Z",
    "zone": "Europe/London",
    "aircraft_minutes": 740730,
    "aircraft_cycles": 9120,
    "log_page": "4711/3",
    "document": "WO-2231",
}
MOVEMENTS_SENT: dict[str, Any] = {
    "act_id": "0b8c0d1e-7c58-4d0c-8f3c-0f2f6d1f6a01",
    "movements": [MOVEMENT_SENT],
}
FITTED: dict[str, Any] = {
    "aircraft": "Q-AVEN",
    "at": "2027-03-03T12:00:00Z",
    "known_at": None,
    "fitted": [
        {
            "position": "D1L-SLIDE",
            "depth": 0,
            "unit": 512,
            "part_number": "HS-4410-3",
            "serial_number": "A00731",
            "description": "Slide, door 1 left",
            "since": "2024-03-03",
        }
    ],
}
TITLE: dict[str, Any] = {
    "sort": "pool_loan",
    "owner": "Harbour Slides",
    "from_on": "2023-11-20",
    "return_by": "2024-05-20",
    "core_due_on": None,
    "customs": "",
    "restriction": "",
    "document": "PL-88",
}
SIGHTING: dict[str, Any] = {
    "id": 41,
    "seen_at": "2024-03-03T05:40:00Z",
    "precision": "instant",
    "place": PLACE,
    "unit": None,
    "part_number_read": "",
    "serial_number_read": "A00713",
    "expiry_read": None,
    "gauge_read": "in the green",
    "pin_read": "",
    "note": "",
    "reconciles": None,
    "reconciled_by": None,
    "act_id": "0b8c0d1e-7c58-4d0c-8f3c-0f2f6d1f6a04",
    "recorded_at": "2024-03-03T05:42:10Z",
}
