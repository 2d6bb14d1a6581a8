"""Sheets of cabins, of what must be on board, of cylinders and what their specifications ask."""

from __future__ import annotations

import pytest

from equipment.complement.reads import complement_of
from equipment.models import Cabin, CylinderDesign, CylinderSpecification
from tests import builders as build

from .ground import GROUND

# 121.309(c)(5), by passenger seats.
EXTINGUISHERS = [(7, 1), (31, 2), (61, 3), (201, 4)]


@pytest.mark.django_db
def test_cabins_and_their_rule_come_by_sheet(bring):
    head = ["Document", "Kind", "By", "From seats", "Number", "Only overwater"]
    rule = [["121.309", "SLIDE", "passenger seats", seats, n, ""] for seats, n in EXTINGUISHERS]
    rule.append(["121.339", "SLIDE", "raft capacity", "", "", "yes"])
    cabin = [
        ["Aircraft", "From", "Passenger seats", "Occupants", "Overwater", "Document"],
        ["Q-ONE", "2026-01-01", 48, 52, "yes", "LOPA 1"],
    ]
    sheets = {"Required complement": [head, *rule], "Cabins": cabin}

    first, again = bring({**GROUND, **sheets}), bring(sheets)

    assert [found for sheet in first.sheets for found in sheet.findings] == []
    assert again.accepted == 0
    told = complement_of(Cabin.objects.get().aircraft, build.day("2026-06-01"))
    assert [each.wanted for each in told.requirements] == [
        "2 for 48 passenger seats",
        "room for 52 occupants with the largest lost",
    ]


@pytest.mark.django_db
def test_specifications_and_cylinders_come_by_sheet(bring):
    head = ["Specification", "Document", "Period (months)", "Test pressure (times)"]
    head.append("Permanent expansion (%)")
    said = [
        ["3HT", "180.209", 36, "5/3", ""],
        ["4E", "180.209", 60, "2", 12],
        ["3E", "x", "", "", ""],
    ]
    parts = [
        ["Maker", "Part number", "Specification", "Service pressure (psig)"],
        ["QMK", "QB-1", "3HT", 1850],
    ]

    result = bring({**GROUND, "Cylinder specifications": [head, *said], "Cylinders": parts})

    assert [found for sheet in result.sheets for found in sheet.findings] == []
    kept = CylinderDesign.objects.get().specification
    assert (kept.code, kept.times_over, kept.times_under) == ("3HT", 5, 3)
    assert CylinderSpecification.objects.get(code="4E").most_permanent_percent == 12
    bad = [head, ["9X", "x", 60, "five thirds", ""]]
    again = bring({"Cylinder specifications": bad})
    assert [found.code for sheet in again.sheets for found in sheet.findings] == ["not_a_share"]
