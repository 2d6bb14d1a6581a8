"""Examples of the doors of the stores. Everything in them is invented."""

from __future__ import annotations

from typing import Any

ACT = "3f0f8a52-6c1e-4f0e-9a0e-2d7a3f1b9c41"
PAPER = {
    "form": "Form 1",
    "tracking_number": "LS-2024-118",
    "issuer": "Lee Shore Overhaul",
    "status": "Overhauled",
    "issued_on": "2024-02-20",
    "supplier": "Tidewater Parts",
}
RECEIPT_SENT: dict[str, Any] = {
    "act_id": ACT,
    "station": "LYD",
    "received_on": "2024-02-26",
    "lines": [
        {
            "part_number": "HS-4410-3",
            "serial_number": "B00117",
            "printed_serial": "B00117",
            "bin": "R1",
        }
    ],
    "certificate": PAPER,
}
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
    "act_id": ACT,
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
ORDER_SENT = {
    "act_id": ACT,
    "unit": 812,
    "shop": "Lee Shore Overhaul",
    "number": "PO-118",
    "station": "LYD",
    "sent_on": "2024-02-26",
    "promised_on": "2099-04-10",
    "works": ["overhaul"],
}
ORDER = {
    "id": 18,
    "unit": 812,
    "shop": "Lee Shore Overhaul",
    "number": "PO-118",
    "works": ["overhaul"],
    "sent_on": "2024-02-26",
    "promised_on": "2099-04-10",
}
PROMISE_SENT = {"act_id": ACT, "order": 18, "promised_on": "2099-04-20", "words": "Seal late."}
PROMISE = {"order": 18, "promised_on": "2099-04-20", "words": "Seal late."}
RETURN_SENT = {
    "act_id": ACT,
    "order": 18,
    "returned_on": "2024-04-12",
    "certificate": {**PAPER, "tracking_number": "LS-2024-171", "issued_on": "2024-04-10"},
    "printed_serial": "B00117",
    "certifies": [{"term": "Overhauled", "works": ["overhaul"]}],
    "works": [{"code": "overhaul", "done_on": "2024-04-09"}],
    "price": "12500.00",
    "currency": "EUR",
}
RETURN = {
    "order": 18,
    "how": "done",
    "returned_on": "2024-04-12",
    "works": ["overhaul"],
    "price": "12500.00",
    "currency": "EUR",
}
LATE_PAPER_SENT: dict[str, Any] = {
    "act_id": ACT,
    "unit": 812,
    "certificate": {
        **PAPER,
        "file": {"name": "LS-2024-118.pdf", "content": "JVBERi0xLjQKJSVFT0YK"},
    },
    "printed_serial": "B00117",
    "certifies": [{"term": "Overhauled", "works": ["overhaul"]}],
    "works": [{"code": "overhaul", "done_on": "2024-02-19"}],
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
BIN_SENT = {"act_id": ACT, "unit": 812, "bin": "R1-04"}
BIN = {"unit": 812, "movement": 9020, "is_conforming": True}
ISSUE_SENT = {"reservation": 52}
ISSUE = {
    "reservation": 52,
    "unit": 812,
    "issued_at": "2024-03-02T07:30:00Z",
    "issued_by": "Tess Arden",
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
