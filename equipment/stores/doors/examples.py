"""Examples of the doors of the stores. Everything in them is invented."""

from __future__ import annotations

from fleet.acts.act import EXAMPLE_ID

RECEIVING = {
    "lines": [
        {
            "unit": 812,
            "movement": 9001,
            "is_known": False,
            "why_quarantined": "Waits for its incoming inspection.",
        }
    ]
}
INSPECTION_SENT = {
    "act_id": EXAMPLE_ID,
    "unit": 812,
    "result": "accepted",
    "identity": True,
    "papers": True,
    "condition": True,
    "dates": True,
    "bin": "R1-04",
    "username": "t.arden",
    "password": "the clerk's own",
}
INSPECTION = {
    "id": 31,
    "unit": 812,
    "result": "accepted",
    "checks": {"identity": True, "papers": True, "condition": True, "dates": True},
    "words": "",
    "statement": "I have inspected this unit and its papers on receipt.",
    "name": "Tess Arden",
    "digest": "9f2c",
    "signed_at": "2024-02-26T09:10:00Z",
}
LATE_PAPER = {
    "id": 77,
    "form": "Form 1",
    "tracking_number": "LS-2024-118",
    "issued_on": "2024-02-20",
    "issuer": "Lee Shore Overhaul",
    "status": "Overhauled",
    "remarks": "",
}
ISSUE_SENT = {"reservation": 52, "to": "R. Oake", "job": "WP-2240"}
ISSUE = {
    "reservation": 52,
    "unit": 812,
    "issued_at": "2024-03-02T07:30:00Z",
    "issued_by": "Tess Arden",
    "to": "R. Oake",
    "job": "WP-2240",
    "decision": "",
}
STOCK = {
    "counts": {"quarantined": 0, "available": 1},
    "results": [
        {
            "unit": 812,
            "part_number": "HS-4410-3",
            "serial_number": "B00117",
            "quantity": 1,
            "station": "LYD",
            "place": "the store of a station",
            "bin": "R1-04",
            "state": "available",
            "reasons": [],
        }
    ],
}
