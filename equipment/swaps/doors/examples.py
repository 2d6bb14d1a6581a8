"""Examples of swaps for the schema. Everything in them is invented."""

from __future__ import annotations

from typing import Any

from equipment.common.doors.examples import PLACE

_ACT = "0b8c0d1e-7c58-4d0c-8f3c-0f2f6d1f6b{:02d}"
_AT = "2027-03-03T14:05:00Z"

ENTRY_SENT: dict[str, Any] = {
    "act_id": _ACT.format(2),
    "step": 6,
    "typed": {"value": "242", "unit": "in-lb", "drag": "12"},
    "tool": "VT-1",
}
ENTRY: dict[str, Any] = {
    "id": 4102,
    "step": 6,
    "typed": {"value": "242", "unit": "in-lb", "drag": "12"},
    "values": {"value": {"value": "242", "unit": "in-lb"}},
    "verdict": "in",
    "sentence": "In tolerance.",
    "is_confirmed": False,
    "tool": "VT-1",
    "entered_at": _AT,
    "entered_by": "t.holm",
    "act_id": _ACT.format(2),
}
CREDENTIALS = {"username": "t.holm", "password": "the signer's own"}
SIGNATURE_SENT: dict[str, Any] = {"act_id": _ACT.format(3), **CREDENTIALS}
REINSPECTION_SENT: dict[str, Any] = {
    **SIGNATURE_SENT,
    "reason": "The second engineer was called to a diverted flight.",
    "inspector": "i.quill",
}
SIGNATURE: dict[str, Any] = {
    "id": 7001,
    "sort": "step",
    "step": 6,
    "by": "t.holm",
    "name": "T. Holm",
    "statement": "I have done this step as the data require. Step 6: Hose coupling nut.",
    "data_revision": "CM-25-66 revision 5",
    "authorisation": "company approval A-17, technician, until 31 Dec 2027",
    "is_ink": False,
    "ink_signer": "",
    "ink_stamp": "",
    "ink_on": None,
    "reason": "",
    "assigned": None,
    "digest": "0f" * 32,
    "signed_at": _AT,
    "act_id": _ACT.format(3),
}
INSPECTION = {**SIGNATURE, "id": 7002, "sort": "inspection", "by": "i.quell", "name": "I. Quell"}
REFUSAL_SENT: dict[str, Any] = {**SIGNATURE_SENT, "reason": "The hose lies twisted."}
REFUSAL = {
    **SIGNATURE,
    "id": 7004,
    "sort": "not_accepted",
    "statement": "I have inspected this step and do not accept it. Step 6: Hose coupling nut.",
    "reason": REFUSAL_SENT["reason"],
}
REINSPECTION = {
    **SIGNATURE,
    "id": 7003,
    "sort": "reinspection",
    "reason": REINSPECTION_SENT["reason"],
    "assigned": "i.quill",
}
UNIT_CORRECTION_SENT: dict[str, Any] = {
    **SIGNATURE_SENT,
    "role": "off",
    "unit": 512,
    "reason": "A00713 was typed for A00731.",
}
UNIT_CORRECTION = {
    **INSPECTION,
    "id": 7010,
    "sort": "correction",
    "step": None,
    "statement": "I correct one fact of this swap: HS-4410-3 S/N A00731 came off, not HS-4410-3 S/N A00713.",
    "reason": UNIT_CORRECTION_SENT["reason"],
}
RELEASE = {**INSPECTION, "id": 7009, "sort": "release", "step": None}
HANDED = {**SIGNATURE, "id": 7004, "sort": "handed_over", "step": None}
TAKEN = {**INSPECTION, "id": 7005, "sort": "taken_over", "step": None}
REMOVAL_SENT: dict[str, Any] = {
    "act_id": _ACT.format(4),
    "unit": 512,
    "happened_at": "2024-03-03T14:05:00Z",
    "place": {"sort": "quarantine", "station": "LYD"},
    "tag": {"sort": "unserviceable", "why": "limit"},
    "aircraft_minutes": 740730,
    "aircraft_cycles": 9120,
    "log_page": "4711/3",
}
INSTALLATION_SENT: dict[str, Any] = {
    "act_id": _ACT.format(5),
    "unit": 512,
    "happened_at": "2024-03-03T15:40:00Z",
}
MOVED: dict[str, Any] = {
    "movement": 90311,
    "is_conforming": True,
    "reasons": [],
    "discrepancy": None,
}
HANDOVER_SENT: dict[str, Any] = {
    "act_id": _ACT.format(8),
    "words": "The coupling is torqued, the bonding lead is not measured yet.",
    "giver": CREDENTIALS,
    "taker": {"username": "i.quell", "password": "the taker's own"},
}
CALL: dict[str, Any] = {
    "id": 31,
    "swap": 212,
    "step": 6,
    "called_at": _AT,
    "called_by": "t.holm",
    "coming_at": None,
    "coming_by": None,
    "ended_at": None,
}
END: dict[str, Any] = {
    "swap": 212,
    "sort": "released",
    "reason": "",
    "dispositions": [],
    "works": ["WEIGHING"],
    "at": _AT,
    "by": "c.ames",
}
SWAP_ROW: dict[str, Any] = {
    "id": 212,
    "sort": "swap",
    "state": "open",
    "place": PLACE,
    "aircraft": "Q-AVEN",
    "station": "LYD",
    "reason": "Overhaul is due",
    "expected_off": 512,
    "planned_on": None,
    "due_item": None,
    "donor_of": None,
    "corrects": None,
    "corrected_by": None,
    "correction_reason": "",
    "is_transcribed": False,
    "opened_at": _AT,
    "opened_by": "t.holm",
    "act_id": _ACT.format(1),
}
STEP: dict[str, Any] = {
    "number": 6,
    "phase": "install",
    "sort": "torque",
    "words": "Hose coupling nut.",
    "caution": "",
    "document": "",
    "rule": {"low": "220", "high": "260", "unit": "in-lb"},
    "is_needed": True,
    "is_inspected": True,
    "posts": "",
    "verdict": "in",
    "entry": ENTRY,
    "signatures": [{**SIGNATURE, "counts": True}],
}
SWAP: dict[str, Any] = {
    **SWAP_ROW,
    "step_list": {
        "code": "OW",
        "revision": "1",
        "title": "Slide: off and on",
        "document": "CM-25-66",
        "document_revision": "5",
    },
    "steps": [STEP],
    "removal": {"movement": 90310, "unit": 512, "happened_at": _AT, "is_conforming": True},
    "installation": None,
    "obstacles": [
        {
            "code": "installation_not_recorded",
            "message": "The installation is not recorded.",
            "step": None,
        }
    ],
    "rests_on": {
        "readings": [
            {
                "step": 4,
                "words": "Torque the strap bolts.",
                "sentence": "250 in·lb, 225 to 275 asked: in tolerance.",
                "tool": "VT-1042, torque wrench",
                "signed": "M. Aster, B1 1140, 3 March 2027 09:40 UTC",
                "inspected": "",
            }
        ],
        "certificates": ["HS-4410-3 S/N A00731: Form 1 HS-20931, Overhauled, HBR, 1 March 2024"],
        "photos": [{"id": 81, "name": "gauge.jpg", "step": 5}],
        "in_service": [
            {
                "role": "on",
                "unit": 512,
                "life": {
                    "on": "2024-03-02",
                    "minutes": 512_400,
                    "cycles": 6120,
                    "lacks": "",
                    "overhaul": None,
                },
            }
        ],
        "not_shown": [],
    },
    "discrepancies": [],
    "calls": [],
    "signatures": [],
    "end": None,
}
