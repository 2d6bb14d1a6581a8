"""What a step asks for: the controls that follow from its rule, and what to aim at before a value is read."""

from __future__ import annotations

import pytest

from equipment.judging.measuring.calibration import ToolFacts
from equipment.judging.steps.aims import aim_of
from equipment.judging.steps.judge import ToolOnDay, judge, rule_of
from equipment.judging.steps.rules import StepRule
from equipment.swaps.pages.step.forms import controls_of, typed_of
from tests.builders import day

TORQUE = {"low": "220", "high": "260", "unit": "in-lb", "has_drag": True}
CHART = {
    "points": [[32, 2590, 2790], [70, 2900, 3100], [100, 3140, 3340]],
    "gas": "nitrogen",
    "document": "CHART-1",
    "revision": "2",
}


def rule(sort, data):
    made = rule_of(sort, data)
    assert isinstance(made, StepRule)
    return made


def test_a_torque_asks_for_drag_first_and_says_the_range_above_it():
    controls = controls_of("torque", TORQUE, {"drag": "12"})

    assert [field.name for field in controls.fields] == ["drag", "value"]
    assert (controls.wanted, controls.more) == ("220 to 260 in-lb", "above the friction drag")
    assert controls.fields[0].value == "12"
    assert controls.tool_sort == "wrench"


def test_a_returned_count_says_how_many_were_fitted():
    data = {"what": "safety pins", "is_returned": True}

    assert controls_of("count", data, {}, fitted=2).wanted == "2"
    assert controls_of("count", data, {}).wanted == "not recorded yet"


def test_the_unit_once_chosen_stays_chosen():
    controls = controls_of(
        "resistance", {"limit": "2.5", "unit": "mΩ", "is_strict": True}, {"unit": "Ω"}
    )

    assert controls.fields[0].unit == "Ω"
    assert controls.wanted == "less than 2.5 mΩ"


def test_a_rule_that_cannot_be_read_says_so_instead_of_failing():
    assert "unit is one of" in controls_of("torque", {"low": 1, "high": 2}, {}).more


def test_a_problem_stands_at_its_field_and_opens_what_hides_it():
    controls = controls_of("torque", TORQUE, {}, problems={"extension": "Too long."})

    assert controls.lever[0].problem == "Too long."
    assert controls.is_lever_open


def test_only_known_names_are_taken_and_another_unit_replaces_the_value():
    sent = {"value": "3", "evil": "x", "instead": "3 mΩ", "confirmed": "3 Ω", "note": ""}

    assert typed_of(sent) == {"value": "3 mΩ"}


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({}, ""),
        ({"drag": "12"}, "Set the wrench to 232 to 272 in-lb: the drag is in it."),
        ({"drag": "x"}, ""),
        # 230 / (230 + 50) x 220 and 260, plus the drag as it was read: 192.71 and 225.57
        (
            {"drag": "12", "extension": "50"},
            "With this extension set the wrench to 192.8 to 225.5 in-lb: the drag is in it.",
        ),
        ({"extension": "-230"}, ""),
    ],
)
def test_the_setting_is_said_before_the_wrench_is_turned(typed, words):
    assert aim_of(rule("torque", TORQUE), typed, wrench_length_mm=230) == words


def test_a_setting_without_the_wrenchs_length_asks_for_it():
    assert "needs the wrench's length" in aim_of(rule("torque", TORQUE), {"extension": "50"})


@pytest.mark.parametrize("extension", ["50", "-40", "12.5"])
def test_what_is_set_as_said_is_judged_within_tolerance(extension):
    typed = {"drag": "12", "extension": extension}
    said = aim_of(rule("torque", TORQUE), typed, wrench_length_mm=230)
    tool = ToolOnDay(ToolFacts("VT-1", length_mm=230), day("2027-06-01"))

    for end in said.partition("set the wrench to ")[2].partition(" in-lb")[0].split(" to "):
        outcome = judge(rule("torque", TORQUE), {**typed, "value": end}, tool=tool)
        # the tool has no calibration here: what was read is judged all the same, in words
        assert "is within 220 to 260 in-lb" in outcome.sentence


def test_the_band_is_said_at_the_bottles_temperature():
    pressure = rule("pressure", {"unit": "psi", "chart": CHART})

    assert aim_of(
        pressure, {"temperature": "51"}
    ) == "2 745 to 2 945 psi at this temperature.".replace(" ", "\u202f", 1).replace(
        "to 2 ", "to 2\u202f"
    )
    assert "follows from the temperature" in aim_of(pressure, {})
    assert "says nothing at 200 °F" in aim_of(pressure, {"temperature": "200"})
    assert "No chart" in aim_of(rule("pressure", {"unit": "psi"}), {"temperature": "51"})
