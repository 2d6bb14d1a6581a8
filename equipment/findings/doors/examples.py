"""Examples of what is found, for the schema. Everything in them is invented."""

from __future__ import annotations

from typing import Any

from equipment.common.doors.examples import PLACE, SIGHTING
from equipment.findings.acts.open_items import OPEN_ITEM
from equipment.findings.acts.repeated import RECORD_REPEAT_ACTION

ITEM: dict[str, Any] = {
    "id": 9,
    "aircraft": "Q-AVEN",
    **{name: value for name, value in OPEN_ITEM.example.items() if name != "act_id"},
    "place": PLACE,
    "swap": None,
    "repeat_actions": "",
    "repeat_days": None,
    "repeat_hours": None,
    "extends": None,
    "approval": "",
    "closed_on": None,
    "closed_words": None,
}
REPEATED: dict[str, Any] = {
    "id": 4,
    "open_item": 9,
    **{name: value for name, value in RECORD_REPEAT_ACTION.example.items() if name != "act_id"},
}
ROBBED: dict[str, Any] = {
    "swap": 212,
    "movement": 90311,
    "is_conforming": True,
    "open_item": 9,
}
WALK_ROUND: dict[str, Any] = {
    "id": 7,
    "aircraft": "Q-AVEN",
    "zone": "",
    "station": "LYD",
    "started_at": "2027-03-03T05:30:00Z",
    "started_by": "t.holm",
}
DIFFERENCE: dict[str, Any] = {
    "id": 31,
    "sort": "unknown_unit",
    "words": "HS-4410-3 S/N A00713 is at Q-AVEN D1L-SLIDE and is not on record.",
    "aircraft": "Q-AVEN",
    "place": PLACE,
    "swap": None,
    "walk_round": 7,
    "sighting": 41,
    "movement": None,
    "recorded_unit": 512,
    "found_unit": None,
    "found_at": "2027-03-03T05:40:00Z",
    "found_by": "t.holm",
    "settled_how": None,
    "settled_words": None,
}
LOOK: dict[str, Any] = {**SIGHTING, "differences": [DIFFERENCE]}
