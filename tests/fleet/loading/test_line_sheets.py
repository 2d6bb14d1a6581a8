"""The line's own data: what is taken, and what is refused at which cell."""

from __future__ import annotations

import pytest

from equipment.models import BottleChart, Calibration, RuleSet, Step, Tool
from fleet.models import Authorisation, User

from .ground import GROUND

LISTS = [
    ["List", "Revision", "Title", "Kind", "Document", "Document revision", "From"],
    ["QL-1", "1", "Change", "SLIDE", "QCM-1", "4", "2026-01-01"],
]
HEAD = [
    "List",
    "Revision",
    "Step",
    "Phase",
    "Kind of step",
    "Words",
    "Records",
    "Returns step",
    "Low",
    "High",
    "Unit",
    "Less than",
    "Drag added",
    "Counted",
]
PIN = ["QL-1", "1", 1, "make_safe", "count", "Fit the pin.", "", "", "", "", "", "", "", "pins"]
OFF = ["QL-1", "1", 2, "remove", "confirm", "Off.", "removal", "", "", "", "", "", "", ""]
BOLTS = ["QL-1", "1", 3, "install", "torque", "Bolts.", "", "", "50", "70", "in-lb", "", "yes", ""]
BACK = ["QL-1", "1", 4, "restore", "count", "Pin out.", "", 1, "", "", "", "", "", "pins"]


def refusals(result):
    return {
        found.cell: found.code
        for sheet in result.sheets
        for found in sheet.findings
        if not found.is_warning
    }


def warnings(result):
    return [found.code for sheet in result.sheets for found in sheet.findings if found.is_warning]


@pytest.fixture
def ground(bring):
    assert refusals(bring({**GROUND, "Step lists": LISTS})) == {}


def test_steps_carry_the_rule_they_are_judged_by(ground, bring):
    assert refusals(bring({"Steps": [HEAD, PIN, OFF, BOLTS, BACK]})) == {}

    rules = dict(Step.objects.values_list("number", "rule"))
    assert rules[3] == {"low": "50", "high": "70", "unit": "in-lb", "has_drag": True}
    assert rules[4] == {"what": "pins", "is_returned": True}


@pytest.mark.parametrize(
    ("changed", "cell", "code"),
    [
        ({8: "90"}, "I4", "upside_down"),
        ({10: "bananas"}, "K4", "unit_unknown"),
        ({9: ""}, "J4", "missing"),
        ({3: "make_safe"}, "D4", "phase_out_of_order"),
    ],
)
def test_a_step_that_cannot_be_judged_is_refused_at_its_cell(ground, bring, changed, cell, code):
    bad = [changed.get(i, value) for i, value in enumerate(BOLTS)]

    result = bring({"Steps": [HEAD, PIN, OFF, bad, BACK]})

    assert cell in refusals(result)
    assert refusals(result)[cell] == code


def test_a_return_answers_a_count(ground, bring):
    astray = [*BACK[:7], 2, *BACK[8:]]

    told = refusals(bring({"Steps": [HEAD, PIN, OFF, astray]}))

    assert told == {"H4": "nothing_to_return", "": "list_not_whole"}


def test_one_removal_is_enough(ground, bring):
    again = [*OFF[:2], 3, *OFF[3:]]

    told = refusals(bring({"Steps": [HEAD, PIN, OFF, again]}))

    assert told == {"G4": "recorded_twice", "": "list_not_whole"}


def test_a_list_on_record_is_revised_and_not_added_to(ground, bring):
    bring({"Steps": [HEAD, PIN, OFF]})

    later = bring({"Steps": [HEAD, PIN, OFF, BOLTS]})

    assert refusals(later) == {"C4": "step_list_on_record"}
    assert later.known == 2


def changed(row, **cells):
    """A line with other cells, by their column's letter."""
    return [cells.get(chr(ord("A") + place), cell) for place, cell in enumerate(row)]


@pytest.mark.parametrize("cells", [{"I": "90"}, {"D": "make_safe"}, {"C": "three"}, {"L": "yes"}])
def test_a_list_with_a_step_missing_is_not_worked_by(ground, bring, cells):
    """Good lines are kept of other sheets; of a list without its step every swap would go without it."""
    result = bring({"Steps": [HEAD, PIN, OFF, changed(BOLTS, **cells), BACK]})

    assert refusals(result)[""] == "list_not_whole"
    assert not Step.objects.exists()
    assert refusals(bring({"Steps": [HEAD, PIN, OFF, BOLTS, BACK]})) == {}


def test_what_one_step_counts_comes_back_once(ground, bring):
    twice = changed(BACK, C=5)

    result = bring({"Steps": [HEAD, PIN, OFF, BOLTS, BACK, twice]})

    assert refusals(result).get("H6") == "returned_twice"


def test_what_goes_on_is_recorded_after_what_comes_off(ground, bring):
    on = changed(OFF, C=2, G="installation")
    off = changed(OFF, C=3)

    result = bring({"Steps": [HEAD, PIN, on, off]})

    assert refusals(result).get("G4") == "posts_out_of_order"


def test_what_comes_back_is_counted(ground, bring):
    result = bring({"Steps": [HEAD, PIN, OFF, changed(BOLTS, H=1)]})

    assert refusals(result).get("E4") == "return_not_counted"


@pytest.mark.parametrize(
    ("row", "cells", "cell"),
    [
        (BOLTS, {"L": "yes"}, "L4"),
        (BOLTS, {"N": "bolts"}, "N4"),
        (OFF, {"C": 3, "G": "", "I": "5"}, "I4"),
        (BACK, {"I": "2"}, "I4"),
    ],
)
def test_a_cell_that_the_rule_would_not_know_of_is_refused(ground, bring, row, cells, cell):
    """A limit that is filled in and not judged by would be a limit that is always kept."""
    result = bring({"Steps": [HEAD, PIN, OFF, changed(row, **cells)]})

    assert refusals(result).get(cell) == "name_unknown"
    assert not Step.objects.filter(number__gt=2).exists()


def test_a_no_where_the_rule_knows_of_no_such_thing_is_as_good_as_a_blank(ground, bring):
    result = bring({"Steps": [HEAD, PIN, OFF, changed(BOLTS, L="no")]})

    assert refusals(result) == {}


def test_a_line_twice_is_one_step_and_a_line_that_contradicts_it_is_refused(ground, bring):
    again = bring({"Steps": [HEAD, PIN, OFF, OFF, BOLTS]})
    other = bring({"Steps": [HEAD, PIN, OFF, BOLTS, changed(OFF, F="Lift.")]})

    assert (refusals(again), again.known) == ({}, 1)
    assert "contradicts_line" in refusals(other).values()


def test_a_line_twice_is_refused_twice_where_it_is_wrong(ground, bring):
    wrong = changed(BOLTS, D="make_safe")

    result = bring({"Steps": [HEAD, PIN, OFF, wrong, wrong]})

    assert refusals(result).get("D4") == refusals(result).get("D5") == "phase_out_of_order"
    assert not Step.objects.filter(number=3).exists()


CHART = [
    "Maker",
    "Part number",
    "Revision",
    "Gas",
    "Charge (psig)",
    "Temperature (°F)",
    "Least (psig)",
    "Most (psig)",
    "Document",
    "From",
]


def chart(*points):
    told = ("QMK", "QB-1", "1", "nitrogen", 3000)
    return [CHART, *([*told, *point, "QCMM-1", "2026-01-01"] for point in points)]


def test_a_chart_is_kept_whole_and_known_the_second_time(ground, bring):
    sheets = {"Bottle charts": chart((32, 2590, 2790), (70, 2900, 3100))}

    assert refusals(bring(sheets)) == {}
    assert bring(sheets).known == 2
    assert BottleChart.objects.get().points == [[32, 2590, 2790], [70, 2900, 3100]]


def test_a_chart_that_the_gas_contradicts_is_questioned(ground, bring):
    ideal_gas = chart((32, 2783 - 50, 2783 + 50), (70, 2950, 3050))

    result = bring({"Bottle charts": ideal_gas})

    assert refusals(result) == {}
    assert "chart_odd" in warnings(result)


def test_a_chart_upside_down_is_refused_as_a_whole(ground, bring):
    result = bring({"Bottle charts": chart((32, 2790, 2590), (70, 2900, 3100))})

    assert sorted(refusals(result).values()) == ["chart_not_whole", "chart_unusable"]
    assert not BottleChart.objects.exists()


METRIC = [*CHART[:4], "Pressure unit", "Temperature unit", "Charge", "Charge at", "Temperature"]
METRIC = [*METRIC, "Least", "Most", "Document", "From"]


def metric(*points, charge_at="21"):
    told = ("QMK", "QB-1", "1", "nitrogen", "bar", "°C", 207, charge_at)
    return [METRIC, *([*told, *point, "QCMM-1", "2026-01-01"] for point in points)]


def test_a_chart_in_bar_and_celsius_is_kept_in_bar_and_judged_in_it(ground, bring):
    sheets = {"Bottle charts": metric((0, 178, 192), (20, 199, 213))}

    assert refusals(bring(sheets)) == {}
    assert bring(sheets).known == 2
    kept = BottleChart.objects.get()
    assert (kept.unit, kept.points) == ("bar", [[32, 178, 192], [68, 199, 213]])
    assert kept.charge_psig == pytest.approx(3002.3, abs=0.1)
    assert kept.charge_at_f == pytest.approx(69.8)


def test_a_chart_of_leasts_alone_with_a_point_at_nought_fahrenheit_stays_so(ground, bring):
    sheets = {"Bottle charts": chart((0, 2400, None), (70, 2900, None))}

    assert refusals(bring(sheets)) == {}
    assert bring(sheets).known == 2
    assert BottleChart.objects.get().points == [[0, 2400, None], [70, 2900, None]]


def test_a_charge_at_nought_degrees_stays_at_nought(ground, bring):
    sheet = metric((0, 178, 192), (20, 199, 213), charge_at="0")
    in_fahrenheit = [[*row[:5], "°F" if row[5] == "°C" else row[5], *row[6:]] for row in sheet]

    assert refusals(bring({"Bottle charts": in_fahrenheit})) == {}

    assert BottleChart.objects.get().charge_at_f == 0


def test_a_chart_may_lay_down_a_least_alone(ground, bring):
    assert refusals(bring({"Bottle charts": chart((32, 2590, ""), (70, 2900, ""))})) == {}

    assert BottleChart.objects.get().points == [[32, 2590, None], [70, 2900, None]]


def test_a_chart_of_two_units_is_refused(ground, bring):
    sheet = metric((0, 178, 192), (20, 199, 213))
    sheet[2][4] = "psi"

    assert "chart_units_differ" in refusals(bring({"Bottle charts": sheet})).values()


RANGES = ["Tool", "Kind of tool", "Description", "Measures", "Calibrated at least yearly"]


def test_a_tool_comes_with_what_it_measures_and_its_year(ground, bring):
    line = ["QW-1", "torque wrench", "Wrench", "10 to 100 in-lb", "yes"]

    assert refusals(bring({"Tools": [RANGES, line]})) == {}

    kept = Tool.objects.get(code="QW-1")
    assert (kept.measures, kept.at_least_yearly) == ("10 to 100 in-lb", True)
    bad = ["QW-2", "torque wrench", "Wrench", "10 to 100 psi", ""]
    assert refusals(bring({"Tools": [RANGES, bad]})) == {"D2": "unit_unknown"}


RULES = ["Code", "Revision", "Document", "From", "Step statement", "Inspection statement"]
RULES = [*RULES, "Release statement", "Programme", "Registration"]


def test_rules_of_signing_come_for_one_aircraft_or_programme(ground, bring):
    told = ["QMOE", "2026-01-01", "I did.", "I looked.", "I certify."]
    lines = [["QS-1", "1", *told, "", ""], ["QS-2", "1", *told, "QP-1", ""]]
    lines.append(["QS-3", "1", *told, "QP-1", GROUND["Aircraft"][1][0]])

    result = bring({"Rule sets": [RULES, *lines]})

    assert list(refusals(result).values()) == ["one_of_two"]
    assert set(RuleSet.objects.values_list("code", "programme")) == {("QS-1", ""), ("QS-2", "QP-1")}


PEOPLE = ["Person", "Number", "Kind", "Acts", "Aircraft types", "From", "Until"]


def test_an_authorisation_names_its_acts_and_types(ground, bring):
    User.objects.create_user("tamsin")
    line = ["Tamsin", "QA-1", "licence", "sign_step, Inspect", "QT-1", "2026-01-01", "2027-12-31"]

    assert refusals(bring({"Authorisations": [PEOPLE, line]})) == {}

    kept = Authorisation.objects.get()
    assert (kept.acts, kept.aircraft_types, kept.kinds) == (
        ["sign_step", "inspect"],
        ["QT-1"],
        [],
    )


@pytest.mark.parametrize(
    ("changed", "cell", "code"),
    [
        ({3: "certify"}, "D2", "unknown_act"),
        ({4: "QT-9"}, "E2", "unknown"),
        ({6: "2025-12-31"}, "G2", "an_authorisation_lasts_at_least_a_day"),
        ({0: "nobody"}, "A2", "unknown"),
    ],
)
def test_an_authorisation_that_cannot_stand_is_refused(ground, bring, changed, cell, code):
    User.objects.create_user("tamsin")
    line = ["tamsin", "QA-1", "licence", "inspect", "", "2026-01-01", "2027-12-31"]

    result = bring({"Authorisations": [PEOPLE, [changed.get(i, v) for i, v in enumerate(line)]]})

    assert refusals(result)[cell].startswith(code)


TOOL = [["Tool", "Kind of tool", "Description"], ["QW-1", "torque wrench", "Wrench"]]
RECORD = ["Tool", "What", "Done on", "Good until", "Certificate"]


def test_a_tool_found_out_is_reported_once_by_the_act_itself(ground, bring):
    lines = [
        RECORD,
        ["QW-1", "calibrated", "2026-01-10", "2027-01-09", "QC-1"],
        ["QW-1", "found out of tolerance", "2026-06-01", "", "reads 8 % low"],
    ]
    assert refusals(bring({"Tools": TOOL, "Calibrations": lines})) == {}

    again = bring({"Calibrations": lines})

    assert (again.accepted, again.known) == (0, 2)
    assert set(Calibration.objects.values_list("sort", flat=True)) == {"calibrated", "found_out"}


def test_a_report_of_a_day_to_come_is_refused_at_its_cell(ground, bring):
    lines = [RECORD, ["QW-1", "dropped or abused", "2027-06-01", "", "fell"]]

    assert refusals(bring({"Tools": TOOL, "Calibrations": lines})) == {"C2": "in_the_future"}


@pytest.mark.parametrize(
    ("covers", "expected"),
    [("3", {}), ("3, 3", {}), ("2", "nothing_to_cover"), ("the bolts", "not_numbers")],
)
def test_a_step_covers_inspected_steps_before_it_by_their_numbers(ground, bring, covers, expected):
    head = [*HEAD, "Inspected", "Covers steps"]
    rows = [[*PIN, "", ""], [*OFF, "", ""], [*BOLTS, "yes", ""], [*BACK, "", covers]]

    told = refusals(bring({"Steps": [head, *rows]}))

    if expected:
        assert told["P5"] == expected
        return
    assert told == {}
    assert set(Step.objects.get(number=4).covers) == {3}
    assert refusals(bring({"Steps": [head, *rows]})) == {}
