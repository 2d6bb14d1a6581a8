"""Examples of what is done beside a swap. Everything in them is invented."""

from __future__ import annotations

from typing import Any

from equipment.common.examples import PLACE, SIGHTING

_ACT = "0b8c0d1e-7c58-4d0c-8f3c-0f2f6d1f6c{:02d}"
_THERE = {"sort": "aircraft", "aircraft": "Q-AVEN", "position": "D1L-SLIDE"}
_AT = "2024-03-03T14:05:00Z"
#: A picture of one grey point.
_PNG = (
    "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAAAAAA6fptVAAAACklEQVR4nGNoAAAAggCBd81ytgAAAABJRU5ErkJggg=="
)
_FILE = {"name": "card-4711.png", "content": _PNG}
TAG_SENT: dict[str, Any] = {
    "act_id": _ACT.format(1),
    "unit": 512,
    "tagged_at": _AT,
    "sort": "unserviceable",
    "why": "defect",
    "words": "Girt torn at the left end.",
    "actions_needed": "To the shop: repair.",
    "exposure": "None known.",
    "total_minutes": 512400,
    "total_cycles": 6120,
}
TAG: dict[str, Any] = {
    "id": 61,
    **{name: value for name, value in TAG_SENT.items() if name != "act_id"},
    "preservation": "",
    "swap": None,
}
FILLING_SENT: dict[str, Any] = {
    "act_id": _ACT.format(2),
    "unit": 512,
    "done_on": "2024-03-03",
    "document": "WO-2231",
    "pressure": "207 bar",
    "temperature": "21 °C",
}
FILLING: dict[str, Any] = {
    "id": 15,
    "unit": 512,
    "sort": "filling",
    "number": 78,
    "done_on": "2024-03-03",
    "psig": 3002.3,
    "temperature_f": 69.8,
    "document": "WO-2231",
}
DISCHARGE_SENT: dict[str, Any] = {
    "act_id": _ACT.format(3),
    "unit": 512,
    "sort": "inflation",
    "done_on": "2024-03-03",
    "words": "Door opened from inside with the slide armed.",
}
RESERVATION_SENT: dict[str, Any] = {
    "act_id": _ACT.format(4),
    "unit": 512,
    "place": _THERE,
    "need_on": "2098-03-03",
    "words": "For the spring check.",
}
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
ATTACHMENT_SENT: dict[str, Any] = {"act_id": _ACT.format(10), "file": _FILE, "sighting": 41}
ATTACHMENT: dict[str, Any] = {
    "id": 5,
    "name": "card-4711.png",
    "media_type": "image/png",
    "size": 67,
    "sha256": "3b4f0c1e6f8f0f5b3a9a5a4f8c26a1c2d98f8a2ce3c1fb9cb3c0f3b1f0d7e2a9",
    "swap": None,
    "step": None,
    "sighting": 41,
    "certificate": None,
    "recorded_at": "2027-03-03T14:20:11Z",
}
CARD_SENT: dict[str, Any] = {
    "act_id": _ACT.format(11),
    "place": _THERE,
    "station": "LYD",
    "reference": "CARD 4711/3",
    "reason": "Overhaul is due",
    "happened_at": _AT,
    "zone": "Europe/London",
    "released": {"signer": "C. Vance", "stamp": "47", "on": "2024-03-03"},
    "page": _FILE,
    "on": 512,
    "log_page": "4711/3",
}
