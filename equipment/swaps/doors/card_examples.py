"""Examples of cards and files, for the schema. Everything in them is invented."""

from __future__ import annotations

from typing import Any

from equipment.availability.examples import _ACT, _AT, _THERE
from equipment.common.doors.examples import FILE_SENT

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
    "page": FILE_SENT,
    "on": 512,
    "log_page": "4711/3",
}
