"""A line is known word for word: one that says otherwise under the same act is refused at its cell."""

from __future__ import annotations

import pytest

from equipment.models import Correction, LifeStatement, Movement, Sighting

from .ground import GROUND, UNIT, units

MAKERS = [["Code", "Name"], ["QM2", "Other Works"]]
TWIN_PART = [["Maker", "Part number", "Description", "Kind"], ["QM2", "QS-1", "Slide", "SLIDE"]]
MOVED = [
    *UNIT,
    "Movement",
    "Happened on",
    "To",
    "Station",
    "Log page",
    "Document",
    "Reason",
    "Quantity",
]
SEEN = [*UNIT, "Seen on", "Gauge read", "Note", "Expiry read"]
HELD = ["Held", "Number or name", "Doubt", "Remarks", "Document"]
SENT = [*UNIT, "Shop", "Order", "Station", "Sent on", "Promised on", "Works", "Remarks"]
STATED = [*UNIT, "Measure", "Stated on", "Total", "Source", "Quality", "Correction"]
TOOLS = [["Tool", "Kind of tool", "Description"], ["QT-9", "wrench", "Wrench"]]
REPORTED = ["Tool", "What", "Done on", "Certificate"]


def moved(maker="QMK", **said):
    row = {"log_page": "QL-1", "document": "QD-1", "reason": "New", "quantity": "1"} | said
    return [maker, "QS-1", "S1", "received", "2026-11-01", "store", "QST", *row.values()]


def refusals(result):
    return {
        found.cell or found.row: found.code
        for sheet in result.sheets
        for found in sheet.findings
        if not found.is_warning
    }


@pytest.fixture
def ground(bring):
    measure = ["UC", "unit cycles", "count", "the unit"]
    there = {**GROUND, **units("S1"), "Measures": [*GROUND["Measures"], measure], "Tools": TOOLS}
    assert refusals(bring(there)) == {}


def test_a_movement_word_for_word_is_known_and_one_that_says_otherwise_is_refused(ground, bring):
    bring({"Movements": [MOVED, moved()]})

    again = bring({"Movements": [MOVED, moved()]})
    others = bring(
        {
            "Movements": [
                MOVED,
                *(moved(**{name: "9"}) for name in ("log_page", "document", "reason", "quantity")),
            ]
        }
    )

    assert (again.known, refusals(again)) == (1, {})
    assert others.known == 0
    assert refusals(others) == dict.fromkeys(("H2", "I3", "J4", "K5"), "differs_from_record")
    assert Movement.objects.count() == 1


def test_a_blank_cell_says_nothing_else_of_a_movement(ground, bring):
    bring({"Movements": [MOVED, moved()]})

    again = bring({"Movements": [MOVED, moved(log_page="", document="", reason="", quantity="")]})

    assert (again.known, refusals(again)) == (1, {})


def test_two_lines_of_one_sheet_that_say_otherwise_of_one_movement_contradict_each_other(
    ground, bring
):
    result = bring({"Movements": [MOVED, moved(), moved(), moved(document="QD-2")]})

    assert result.known == 1
    assert list(refusals(result).values()) == ["contradicts_line"]
    assert Movement.objects.count() == 1


@pytest.mark.parametrize("order", [("QMK", "QM2"), ("QM2", "QMK")])
def test_units_of_two_makers_with_one_number_each_have_their_movements(ground, bring, order):
    twin = {"Units": [UNIT, ["QM2", "QS-1", "S1"]]}
    assert refusals(bring({"Makers": MAKERS, "Part numbers": TWIN_PART, **twin})) == {}

    first = bring({"Movements": [MOVED, *(moved(maker) for maker in order)]})
    again = [bring({"Movements": [MOVED, moved(maker)]}) for maker in ("QMK", "QM2")]

    assert refusals(first) == {}
    assert Movement.objects.values("unit").distinct().count() == 2
    assert [(each.known, refusals(each)) for each in again] == [(1, {}), (1, {})]


def test_a_sighting_that_says_otherwise_is_refused(ground, bring):
    said = ["QMK", "QS-1", "S1", "2026-11-20 10:15"]
    bring({"Sightings": [SEEN, [*said, "green", "Pin in.", "2027-01-01"]]})

    again = bring({"Sightings": [SEEN, [*said, "green", "Pin in.", "2027-01-01"]]})
    others = bring(
        {
            "Sightings": [
                SEEN,
                [*said, "red", "Pin in.", "2027-01-01"],
                [*said, "green", "Pin out.", "2027-01-01"],
                [*said, "green", "Pin in.", "2027-02-01"],
            ]
        }
    )

    assert (again.known, refusals(again)) == (1, {})
    assert refusals(others) == dict.fromkeys(("E2", "F3", "G4"), "differs_from_record")
    assert Sighting.objects.count() == 1


def test_an_annulment_that_says_otherwise_is_refused(ground, bring):
    bring({"Movements": [MOVED, moved()]})
    head = [*UNIT, "On", "Movement", "Reason"]
    said = ["QMK", "QS-1", "S1", "2026-11-01", "received"]
    bring({"Annulments": [head, [*said, "It never came."]]})

    again = bring({"Annulments": [head, [*said, "It never came."]]})
    other = bring({"Annulments": [head, [*said, "Another came."]]})

    assert (again.known, refusals(again)) == (1, {})
    assert refusals(other) == {"F2": "differs_from_record"}
    assert Correction.objects.count() == 1


def test_a_hold_and_an_order_that_say_otherwise_are_refused(ground, bring):
    bring({"Movements": [MOVED, moved()]})
    hold = ["every unit of a supplier", "Tidewater", "suspected unapproved part", "Odd stamps."]
    order = ["QMK", "QS-1", "S1", "Lee Shore", "PO-1", "QST", "2026-11-06", "2027-01-20"]
    bring({"Holds": [HELD, [*hold, "Q-1"]], "Shop orders": [SENT, [*order, "", "Soon."]]})

    again = bring({"Holds": [HELD, [*hold, "Q-1"]], "Shop orders": [SENT, [*order, "", "Soon."]]})
    other = bring({"Holds": [HELD, [*hold, "Q-2"]], "Shop orders": [SENT, [*order, "", "Late."]]})

    assert (again.known, refusals(again)) == (2, {})
    assert refusals(other) == {2: "differs_from_record"}
    assert other.known == 0


def test_a_life_statement_of_another_source_or_quality_is_refused(ground, bring):
    said = ["QMK", "QS-1", "S1", "UC", "2026-11-01", "12"]
    bring({"Life statements": [STATED, [*said, "QD-1", "certificate", ""]]})

    again = bring({"Life statements": [STATED, [*said, "QD-1", "certificate", ""]]})
    others = bring(
        {
            "Life statements": [
                STATED,
                [*said, "QD-2", "certificate", ""],
                [*said, "QD-1", "assumption", ""],
            ]
        }
    )
    right = bring({"Life statements": [STATED, [*said, "QD-2", "certificate", "yes"]]})

    assert (again.known, refusals(again)) == (1, {})
    assert refusals(others) == {"G2": "differs_from_record", "H3": "differs_from_record"}
    assert refusals(right) == {}
    assert LifeStatement.objects.get(corrected_by=None).source == "QD-2"


def test_a_report_of_a_tool_that_says_otherwise_is_refused(ground, bring):
    bring({"Calibrations": [REPORTED, ["QT-9", "dropped", "2026-11-01", "Fell 2 m."]]})

    again = bring({"Calibrations": [REPORTED, ["QT-9", "dropped", "2026-11-01", "Fell 2 m."]]})
    other = bring({"Calibrations": [REPORTED, ["QT-9", "dropped", "2026-11-01", "Fell 9 m."]]})

    assert (again.known, refusals(again)) == (1, {})
    assert refusals(other) == {"D2": "differs_from_record"}


@pytest.fixture
def twins(ground, bring):
    """One part and serial number of two makers: two units, each received on one day."""
    twin = {"Units": [UNIT, ["QM2", "QS-1", "S1"]]}
    assert refusals(bring({"Makers": MAKERS, "Part numbers": TWIN_PART, **twin})) == {}
    assert refusals(bring({"Movements": [MOVED, moved("QMK"), moved("QM2")]})) == {}


ANNULLED = [*UNIT, "On", "Movement", "Reason"], ["2026-11-01", "received", "It never came."]
SIGHTED = SEEN, ["2026-11-20 10:15", "green", "Pin in.", "2027-01-01"]
STATED_OF = STATED, ["UC", "2026-11-01", "12", "QD-1", "certificate", ""]


@pytest.mark.parametrize(
    ("sheet", "lines", "rows"),
    [
        ("Annulments", ANNULLED, Correction.objects.values("movement__unit")),
        ("Sightings", SIGHTED, Sighting.objects.values("unit")),
        ("Life statements", STATED_OF, LifeStatement.objects.values("unit")),
    ],
)
def test_two_makers_with_one_part_and_serial_are_two_units_in_every_sheet(
    twins, bring, sheet, lines, rows
):
    head, said = lines

    both = bring({sheet: [head, ["QMK", "QS-1", "S1", *said], ["QM2", "QS-1", "S1", *said]]})
    again = bring({sheet: [head, ["QM2", "QS-1", "S1", *said], ["QMK", "QS-1", "S1", *said]]})

    assert refusals(both) == {}
    assert rows.distinct().count() == 2
    assert (again.known, refusals(again)) == (2, {})
