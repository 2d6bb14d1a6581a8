"""Examples for the schema. Everything in them is invented."""

from __future__ import annotations

from typing import Any

AIRCRAFT: dict[str, Any] = {
    "registration": "Q-AVEN",
    "msn": "1042",
    "aircraft_type": "TERN-200",
    "status": "in_service",
    "station": "LYD",
    "manufactured_on": "2014-05-20",
    "is_grounded": True,
    "grounded_by": [
        {
            "code": "unit_unserviceable",
            "sentence": "D1L-SLIDE: HS-4410-3 S/N A00731 is tagged unserviceable (deployed), since 3 Mar 2027.",
            "position": "D1L-SLIDE",
            "unit": 512,
            "swap": None,
        }
    ],
}
POSITION: dict[str, Any] = {
    "code": "D1L-SLIDE",
    "name": "Door 1 left slide",
    "kind": "door-slide",
    "zone": "211",
    "access_group": "D1L",
    "side": "left",
    "capacity": 1,
    "is_active": True,
}
STATION: dict[str, Any] = {
    "code": "LYD",
    "name": "Lydmouth",
    "time_zone": "Europe/London",
    "is_maintenance_base": True,
    "abilities": ["overhaul"],
}
MEASURE: dict[str, Any] = {
    "code": "FH",
    "name": "Flight hours",
    "unit": "minutes",
    "counted_on": "aircraft",
}
READING: dict[str, Any] = {
    "id": 40213,
    "measure": "FH",
    "unit": "minutes",
    "total": 740730,
    "read_at": "2026-03-03T23:59:00Z",
    "is_date_only": True,
    "source": "tech log 4711",
    "corrects": None,
    "is_annulment": False,
    "is_conforming": True,
    "reasons": [],
    "act_id": "3f0f8a52-6c1e-4f0e-9a0e-2d7a3f1b9c11",
    "recorded_at": "2026-03-04T06:12:00Z",
    "recorded_by": "m.arden",
}
CHECK: dict[str, Any] = {
    "id": 77,
    "aircraft": "Q-AVEN",
    "name": "C4",
    "sort": "check",
    "starts_on": "2027-06-07",
    "ends_on": "2027-06-18",
    "station": "LYD",
    "abilities": [],
    "is_cancelled": False,
}
STATUS: dict[str, Any] = {
    "id": 12,
    "aircraft": "Q-AVEN",
    "status": "left",
    "from_on": "2027-12-01",
    "document": "Return of lease 14",
    "replaces": None,
    "recorded_at": "2027-06-01T12:00:00Z",
    "recorded_by": "controller",
}
LOAD: dict[str, Any] = {
    "key": "5b1f6c1e-6a53-4a3e-8f0f-6f7a2f2b9c10",
    "state": "read",
    "mode": "",
    "dates": "day-first",
    "brought_at": "2027-03-03T08:00:00Z",
    "brought_by": "c.marsh",
    "brought_as": "controller",
    "applied_at": None,
    "progress_done": 940,
    "progress_total": 940,
    "progress_words": "",
    "accepted": 938,
    "refused": 2,
    "known": 0,
    "fault": "",
    "summary": [{"sheet": "units", "accepted": 938, "refused": 2, "known": 0}],
    "beside": {},
}
LOAD_LINE: dict[str, Any] = {
    "file": "units.xlsx",
    "sheet": "units",
    "row": 117,
    "outcome": "refused",
    "cell": "F117",
    "code": "two_readings",
    "message": "03/04/2021 is 3 Apr 2021 or 4 Mar 2021. Write 2021-04-03.",
    "values": {"serial_number": "A00812"},
}
NOTICE: dict[str, Any] = {
    "id": 12,
    "words": "HS-4410-3 S/N A00911 is no longer set aside for Q-AVEN D1L-SLIDE on 7 Jun 2027: it is held.",
    "link": "/units/911/",
    "at": "2024-03-03T09:10:00Z",
    "read_at": None,
}
