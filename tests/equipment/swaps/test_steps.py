"""What is entered at a step: kept as typed, judged, never lost and never silently a number."""

from __future__ import annotations

from uuid import uuid4

import pytest

from equipment.models import StepEntry
from fleet.house.refusals import Refused
from tests import builders as build
from tests import builders_swaps as swaps

pytestmark = pytest.mark.django_db


@pytest.fixture
def job():
    made = swaps.a_job()
    made.open()
    return made


def test_every_sort_of_step_is_kept_with_its_verdict(job):
    for number in swaps.WELL:
        entry = job.enter(number)

        assert entry.verdict in {"in", "none"}, (number, entry.sentence)
        assert entry.typed == swaps.WELL[number]


def test_every_entry_is_kept_and_the_latest_counts(job):
    job.enter(7, {"value": "40", "drag": "2"})
    job.enter(7)

    verdicts = StepEntry.objects.filter(swap=job.swap).order_by("pk")

    assert [each.verdict for each in verdicts] == ["out", "in"]


def test_a_value_keeps_its_tool_its_calibration_and_its_chart(job):
    torque, pressure = job.enter(7), job.enter(4)

    assert torque.tool == job.tools["torque"]
    assert torque.calibration == job.tools["torque"].calibrations.get()
    assert pressure.chart == job.new.part_number.charts.get()


def test_a_tool_out_of_date_takes_the_value_and_cannot_judge_it(job):
    old = swaps.a_tool("wrench", until=build.day("2027-05-31"))

    entry = job.enter(7, tool_code=old.code.lower())

    assert (entry.verdict, entry.tool) == ("cannot_judge", old)
    assert entry.values["value"]["value"] == "62"


def test_an_unknown_tool_is_refused_at_its_field(job):
    with pytest.raises(Refused) as told:
        job.enter(7, tool_code="QT-NONE")

    assert (told.value.code, told.value.field) == ("unknown_tool", "tool")


def test_a_value_right_in_another_unit_is_asked_about_and_kept_when_confirmed(job):
    with pytest.raises(Refused) as told:
        job.enter(8, {"value": "1500"})
    assert told.value.code == "value_questioned"
    assert not StepEntry.objects.filter(swap=job.swap).exists()

    entry = job.enter(8, {"value": "1500"}, is_confirmed=True)

    assert (entry.verdict, entry.is_confirmed) == ("out", True)


@pytest.mark.parametrize(
    "typed", ["", " ", "sixty", "-62", "1e999", "nan", "62 psi", "٦٢x", "6,2,2.1"]
)
def test_what_cannot_be_read_is_a_sentence_at_the_field(job, typed):
    with pytest.raises(Refused) as told:
        job.enter(7, {"value": typed, "drag": "2"})

    assert told.value.field == "value"
    assert told.value.message.endswith(".")


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        ({f"field{n}": "x" for n in range(41)}, "too_much"),
        ({"text": "x" * 2001}, "too_long"),
        ({"text": "a\x00b"}, "unreadable"),
    ],
)
def test_more_than_anybody_types_is_refused(job, typed, code):
    with pytest.raises(Refused) as told:
        job.enter(5, typed)

    assert told.value.code == code


def test_a_count_back_is_judged_against_what_was_fitted(job):
    job.enter(1, {"count": "3"})

    entry = job.enter(13, {"count": "2"})

    assert (entry.verdict, entry.values["fitted"]) == ("out", 3)


def test_a_double_tap_is_one_entry(job):
    act = uuid4()

    first, again = job.enter(2, act_id=act), job.enter(2, act_id=act)

    assert first == again
    assert StepEntry.objects.filter(swap=job.swap).count() == 1


def test_the_id_of_another_entry_is_not_taken_for_it(job):
    act = uuid4()
    job.enter(2, act_id=act)

    with pytest.raises(Refused) as told:
        job.enter(9, act_id=act)

    assert told.value.code == "act_id_used"


def test_a_step_of_another_list_is_unknown(job):
    other = swaps.a_job()
    other.open()
    step = other.step(2)

    with pytest.raises(Refused) as told:
        swaps.swaps.enter_step(
            by=job.technician,
            swap_id=job.swap.pk,
            step_id=step.pk,
            typed={"done": "yes"},
            act_id=uuid4(),
            at=job.tick(),
        )

    assert told.value.code == "unknown_step"
