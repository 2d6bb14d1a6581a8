"""Examples of findings. Everything in them is invented."""

from __future__ import annotations

from typing import Any

from equipment.availability.examples import _ACT, _THERE
from equipment.common.doors.examples import PLACE, SIGHTING

OPEN_ITEM_SENT: dict[str, Any] = {
    "act_id": _ACT.format(5),
    "place": _THERE,
    "document": "MEL 25-62-01 rev 12",
    "words": "Door 1 left without its slide: door blocked.",
    "category": "C",
    "found_on": "2024-03-03",
    "expires_on": "2024-03-13",
    "effect": "Rows 1 to 6 left blocked.",
}


OPEN_ITEM: dict[str, Any] = {
    "id": 9,
    "aircraft": "Q-AVEN",
    **{name: value for name, value in OPEN_ITEM_SENT.items() if name != "act_id"},
    "place": PLACE,
    "swap": None,
    "repeat_actions": "",
    "closed_on": None,
    "closed_words": None,
}


CLOSING_SENT: dict[str, Any] = {
    "act_id": _ACT.format(6),
    "words": "Fitted again, swap 88.",
    "closed_on": "2024-03-09",
}


WALK_ROUND_SENT: dict[str, Any] = {
    "act_id": _ACT.format(7),
    "aircraft": "Q-AVEN",
    "station": "LYD",
}


WALK_ROUND: dict[str, Any] = {
    "id": 7,
    "aircraft": "Q-AVEN",
    "zone": "",
    "station": "LYD",
    "started_at": "2027-03-03T05:30:00Z",
    "started_by": "t.holm",
}


LOOK_SENT: dict[str, Any] = {
    "act_id": _ACT.format(8),
    "place": _THERE,
    "part_number_read": "HS-4410-3",
    "serial_number_read": "A00713",
    "gauge_read": "2950 psi",
    "pin_read": "stowed",
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


SETTLEMENT_SENT: dict[str, Any] = {
    "act_id": _ACT.format(9),
    "sort": "put_right",
    "words": "Pin stowed in its pouch, WO-2240.",
}
