"""A sheet made from an act's declaration: told here of holds."""

from __future__ import annotations

import pytest

from equipment.models import Hold

from .ground import GROUND, units

pytestmark = pytest.mark.django_db
HOLDS = ["Held", "Number or name", *("Maker", "Part number", "Serial number"), "Doubt", "Remarks"]
HELD = ["one unit", "", "QMK", "QS-1", "S1", "suspected unapproved part", "Odd stamps."]


def told(result):
    """The counts of the sheet of holds, and the codes of its refusals."""
    sheet = next(each for each in result.sheets if each.sheet == "Holds")
    return (sheet.accepted, sheet.known, sheet.refused), [each.code for each in sheet.findings]


def test_a_line_does_the_act_once(bring):
    bring({**GROUND, **units("S1")})

    first = told(bring({"Holds": [HOLDS, HELD, HELD]}))
    again = told(bring({"Holds": [HOLDS, HELD]}))

    assert (first, again) == (((1, 1, 0), []), ((0, 1, 0), []))
    assert Hold.objects.get().unit.serial_number == "S1"


@pytest.mark.parametrize(
    ("serial", "doubt", "code"),
    [
        ("S9", HELD[5], "unknown_unit"),
        ("", HELD[5], "unknown_unit"),
        ("S1", "dull", "not_a_choice"),
    ],
)
def test_what_a_line_names_and_nobody_knows_is_refused_at_its_cell(bring, serial, doubt, code):
    bring({**GROUND, **units("S1")})
    bad = [*HELD[:4], serial, doubt, HELD[6]]

    result = bring({"Holds": [HOLDS, bad, HELD]})

    assert told(result) == ((1, 0, 1), [code])
    assert result.sheets[0].findings[0].cell == ("F2" if serial == "S1" else "E2")


def test_another_document_for_the_same_doubt_differs_from_the_record(bring):
    bring({**GROUND, **units("S1")})
    bring({"Holds": [[*HOLDS, "Document"], [*HELD, "Q-1"]]})

    assert told(bring({"Holds": [[*HOLDS, "Document"], [*HELD, "Q-2"]]})) == (
        (0, 0, 1),
        ["differs_from_record"],
    )
