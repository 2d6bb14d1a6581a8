"""The shipped step lists, in the order of the work. Common practice of the trade; no source says it."""

from __future__ import annotations

import re

import pytest

from demo_fixtures.build.line_sheets import TOOLS, tools
from demo_fixtures.build.step_lists import STEP_LISTS
from equipment.judging.measuring.calibration import range_of

BY_CODE = {each.code: each for each in STEP_LISTS}
PACKS = ("DOOR-SLIDE", "SLIDE-RAFT", "OVERWING-SLIDE")


def place(code: str, words: str) -> int:
    """Where the one step stands that says this."""
    found = [i for i, step in enumerate(BY_CODE[code].steps) if re.search(words, step.words)]
    assert len(found) == 1, (code, words, found)
    return found[0]


@pytest.mark.parametrize("code", [*PACKS, "DOOR-CYLINDER"])
def test_pins_and_tools_are_counted_and_the_photo_taken_before_it_is_closed(code):
    closed = place(code, r"^(Cover|Panel) on")

    for words in (r"Take the safety pin out", r"Count the tools again", r"^A photo"):
        assert place(code, words) < closed, words
    assert closed < place(code, r"area is clear")


@pytest.mark.parametrize("code", [*PACKS, "DOOR-CYLINDER"])
def test_a_cover_or_panel_is_opened_and_closed_by_the_count_of_its_fasteners(code):
    steps = BY_CODE[code].steps
    opened, closed = place(code, r"^(Cover|Panel) off"), place(code, r"^(Cover|Panel) on")

    assert steps[opened].sort == steps[closed].sort == "count"
    assert steps[closed].returns == steps[opened].key


@pytest.mark.parametrize("code", [*PACKS, "INFLATION-BOTTLE"])
def test_the_last_gauge_reading_is_a_value_before_the_pin_comes_out(code):
    final = place(code, r"once more")

    assert BY_CODE[code].steps[final].sort == "pressure"
    assert final < place(code, r"Take the safety pin out")


@pytest.mark.parametrize("code", PACKS)
def test_who_helps_with_the_lift_is_named(code):
    helper = place(code, r"^Who helps with the lift")

    assert BY_CODE[code].steps[helper].sort == "note"
    assert BY_CODE[code].steps[helper].needed
    assert helper < place(code, r"Record what came off")


def test_no_value_stands_for_several_bolts():
    several = re.compile(r"both|all |bolts|screws", re.IGNORECASE)
    torques = [s for each in STEP_LISTS for s in each.steps if s.sort == "torque"]

    assert [step.words for step in torques if several.search(step.words)] == []


def test_by_the_wing_the_flap_setting_is_said_and_the_area_clear_before_the_lever_is_free():
    assert place("OVERWING-SLIDE", r"Flaps at 25") == 0
    assert place("OVERWING-SLIDE", r"area is clear") < place(
        "OVERWING-SLIDE", r"Flap lever unlocked"
    )


def test_what_the_pack_covers_is_inspected_before_it_is_covered():
    hold = place("OVERWING-SLIDE", r"^Hold:")

    assert (
        place("OVERWING-SLIDE", r"^Hose coupling nut")
        < hold
        < place("OVERWING-SLIDE", r"lay the pack")
    )


def test_every_wrench_says_what_it_measures():
    wrenches = [row for row in tools() if row["Kind of tool"] == "wrench"]

    assert len(wrenches) == sum(tool[1] == "wrench" for tool in TOOLS)
    for row in wrenches:
        low, high, unit = range_of("wrench", str(row["Measures"]))
        assert (low < high, unit) == (True, "in-lb")
        assert row["Calibrated at least yearly"] == "yes"
