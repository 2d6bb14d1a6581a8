"""Tools entered and calibrated; one found out or dropped names every value that it touched."""

from __future__ import annotations

from dataclasses import replace
from uuid import uuid4

import pytest

from equipment.models import Calibration, Discrepancy, Tool
from equipment.swaps.reads.state import state_of
from equipment.tools.acts.reports import report_tool
from equipment.tools.acts.tools import NewCalibration, NewTool, enter_tools, record_calibrations
from fleet.house.refusals import Refused
from tests.builders import NOW, a_person, a_station, day
from tests.builders_swaps import SHORT, a_job

pytestmark = pytest.mark.django_db
WRENCH = NewTool("VT-1", "wrench", "Torque wrench", "W100", length="23 cm")


def entered(*rows, by="stores"):
    return enter_tools(by=a_person(by), rows=rows, at=NOW)


def calibrated(**more):
    plain = {
        "tool": "vt-1",
        "done_on": day("2027-01-10"),
        "due_on": day("2028-01-09"),
        "certificate": "C-1",
    }
    row = NewCalibration(**{**plain, **more})
    return record_calibrations(by=a_person("stores"), rows=[row], at=NOW)[0]


def test_a_wrench_is_entered_with_its_length_in_any_unit():
    entered(WRENCH)

    assert Tool.objects.get(code="VT-1").length_mm == pytest.approx(230)


def test_a_tool_may_move_but_does_not_become_another():
    station = a_station()
    entered(WRENCH)
    (moved,) = entered(replace(WRENCH, station_id=station.pk))

    with pytest.raises(Refused) as refused:
        entered(replace(WRENCH, serial_number="W101"))

    assert (moved.is_new, Tool.objects.get().station) == (False, station)
    assert refused.value.code == "tool_on_record"


@pytest.mark.parametrize("length", ["long", "-3", "1e999", "23 lb", "0", "1,234"])
def test_a_length_that_cannot_be_is_refused_at_its_field(length):
    with pytest.raises(Refused) as refused:
        entered(replace(WRENCH, length=length))

    assert refused.value.field == "length"


def test_a_calibration_is_recorded_once():
    entered(WRENCH)

    assert (calibrated().is_new, calibrated().is_new) == (True, False)


@pytest.mark.parametrize(
    ("more", "code"),
    [
        ({"tool": "VT-9"}, "unknown_tool"),
        ({"due_on": day("2027-01-09")}, "a_calibration_says_until_when"),
        ({"certificate": "C-2"}, "calibration_on_record"),
        ({"done_on": day("2027-06-09"), "due_on": day("2028-06-09")}, "in_the_future"),
        ({"certificate": ""}, "missing"),
    ],
)
def test_a_calibration_that_cannot_be_is_refused(more, code):
    entered(WRENCH)
    calibrated()

    with pytest.raises(Refused) as refused:
        calibrated(**more)

    assert refused.value.code == code


@pytest.fixture
def measured():
    """An open swap with one torque taken with a wrench."""
    job = a_job(SHORT)
    job.open()
    job.enter(7)
    return job


def reported(job, sort="found_out", on="2027-06-01", act_id=None, by="stores"):
    return report_tool(
        by=a_person(by),
        tool=job.tools["torque"].code,
        sort=sort,
        found_on=day(on),
        words="reads 8 % low",
        act_id=act_id or uuid4(),
        at=job.tick(),
    )


@pytest.mark.parametrize("sort", ["found_out", "dropped"])
def test_every_value_since_the_last_calibration_becomes_a_discrepancy(measured, sort):
    done = reported(measured, sort)

    found = Discrepancy.objects.get(pk__in=done.discrepancy_ids)
    assert (found.sort, found.swap, found.entry.step.number) == ("tool", measured.swap, 7)
    assert "8 % low" in found.words
    assert "discrepancy_open" in {each.code for each in state_of(measured.swap, NOW).other}


def test_a_value_measured_after_the_day_it_was_found_out_is_not_touched(measured):
    assert reported(measured, on="2027-05-30").discrepancy_ids == ()


def test_the_same_report_again_gives_the_first(measured):
    first, again = reported(measured), reported(measured)

    assert (again.is_new, again.discrepancy_ids) == (False, first.discrepancy_ids)
    assert Calibration.objects.filter(sort="found_out").count() == 1


def test_a_technician_reports_no_tool(measured):
    with pytest.raises(Refused) as refused:
        reported(measured, by="technician")

    assert refused.value.code == "not_permitted"


@pytest.mark.parametrize(
    ("measures", "field"),
    [("10 to 100 psi", "measures"), ("100 to 10 in-lb", "measures"), ("ten", "measures")],
)
def test_a_range_that_cannot_be_a_wrenchs_is_refused_at_its_field(measures, field):
    with pytest.raises(Refused) as refused:
        entered(replace(WRENCH, measures=measures))

    assert refused.value.field == field


@pytest.mark.parametrize("measures", ["10 to 65 in-lb", "1–7 N·m"])
def test_a_value_beyond_its_wrench_is_kept_and_not_judged(measures):
    # Seen: 250 in-lb with a wrench of 10 to 100 was in tolerance.
    job = a_job(SHORT)
    job.open()
    Tool.objects.filter(pk=job.tools["torque"].pk).update(measures=measures)

    entry = job.enter(7, {"value": "68", "drag": "3"})

    assert entry.verdict == "cannot_judge"
    assert "is beyond it" in entry.sentence
    assert job.enter(7, {"value": "58", "drag": "3"}).verdict == "in"


def test_a_wrench_calibrated_at_least_yearly_is_no_good_after_a_year_whatever_its_paper_says():
    # AC 43.13-1B ¶7-40a: "Calibrate the torque wrench at least once a year".
    job = a_job(SHORT)
    job.open()
    wrench = job.tools["torque"]
    assert job.enter(7).verdict == "in"

    Tool.objects.filter(pk=wrench.pk).update(at_least_yearly=True)

    late = job.enter(7)
    assert late.verdict == "cannot_judge"
    assert "calibrated until" in late.sentence
