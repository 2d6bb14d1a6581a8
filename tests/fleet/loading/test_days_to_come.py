"""What has happened did so on a day that has come: a slip of the year is refused at its cell."""

from __future__ import annotations

import datetime as dt

import pytest

from equipment.models import Calibration, Certificate, LifeStatement, Unit
from fleet.models import UtilisationReading

from .conftest import NOW
from .ground import GROUND, UNIT, units
from .test_line_sheets import refusals

TODAY = NOW.date()
TOMORROW, LATER = TODAY + dt.timedelta(days=1), TODAY + dt.timedelta(days=2)
SLIDE = ["QMK", "QS-1", "S1"]
SHEETS = {
    "Readings": (["Aircraft", "Read on", "Hours"], ["Q-ONE", None, "100:00"], "B2"),
    "Units": ([*UNIT, "Manufactured on"], ["QMK", "QS-1", "S2", None], "D2"),
    "Certificates": (
        [*UNIT, "Form", "Number", "Issued on", "Issuer", "Status"],
        [*SLIDE, "QForm 1", "C-1", None, "Shop", "overhauled"],
        "F2",
    ),
    "Life statements": (
        [*UNIT, "Measure", "Total", "Stated on", "Since", "Quality", "Source"],
        [*SLIDE, "FC", "100", None, "since new", "on a certificate", "C-1"],
        "F2",
    ),
}
KEPT = (UtilisationReading, Certificate, LifeStatement)


@pytest.fixture
def ground(bring):
    assert refusals(bring({**GROUND, **units("S1")})) == {}


@pytest.mark.parametrize("name", SHEETS)
def test_a_day_that_has_not_come_is_refused_at_its_cell(ground, bring, name):
    heads, line, cell = SHEETS[name]

    result = bring({name: [heads, [LATER.isoformat() if each is None else each for each in line]]})

    assert refusals(result) == {cell: "in_the_future"}
    assert not any(model.objects.exists() for model in KEPT)
    assert Unit.objects.count() == 1


@pytest.mark.parametrize("name", SHEETS)
def test_tomorrow_may_be_today_elsewhere(ground, bring, name):
    heads, line, _ = SHEETS[name]

    result = bring(
        {name: [heads, [TOMORROW.isoformat() if each is None else each for each in line]]}
    )

    assert refusals(result) == {}


def test_a_month_that_has_begun_has_come(ground, bring):
    heads, line, _ = SHEETS["Units"]

    result = bring(
        {"Units": [heads, [f"{TODAY:%m/%Y}" if each is None else each for each in line]]}
    )

    assert refusals(result) == {}


def test_a_calibration_is_not_of_a_day_to_come(ground, bring):
    tools = [["Tool", "Kind of tool", "Description"], ["QT-1", "torque wrench", "Wrench"]]
    heads = ["Tool", "What", "Done on", "Good until"]
    line = ["QT-1", "calibrated", LATER.isoformat(), "2099-01-01"]

    result = bring({"Tools": tools, "Calibrations": [heads, line]})

    assert refusals(result) == {"C2": "in_the_future"}
    assert not Calibration.objects.exists()
