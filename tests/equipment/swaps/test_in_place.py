"""A work done in place: values, persons and signatures as a swap's, nothing moved, its clock restarted."""

from __future__ import annotations

from uuid import uuid4

import pytest
from django.urls import reverse

from equipment.models import Place, Swap
from fleet.house.refusals import Refused
from scheduling.models import DueItem, Limit, WorkDone
from tests import builders as build
from tests import builders_swaps as swaps
from tests.equipment.line_world import signed_in
from tests.scheduling.rules import a_rule, done, due, every, follows, position, reckon

pytestmark = pytest.mark.django_db

WEIGHING: tuple[swaps.Row, ...] = (
    (1, "make_safe", "count", "Pins in. Pins seen:", swaps.PINS, {}),
    (2, "test", "weight", "Weigh it.", {"at_least": "20", "unit": "kg"}, {}),
    (
        3,
        "restore",
        "count",
        "Pins out. Pins returned:",
        {**swaps.PINS, "is_returned": True},
        {"returns": 1, "is_inspected": True},
    ),
)
WELL = {1: {"count": "2"}, 2: {"value": "29.5"}, 3: {"count": "2"}}


@pytest.fixture
def job():
    """A slide whose weight is checked every year, and the operator's list for it."""
    made = swaps.a_job()
    follows(made.aircraft)
    a_rule("WGT", every(12), work="WEIGH")
    done("WEIGH", "2026-06-20", unit_id=made.old.pk)
    swaps.a_step_list(made.old.part_number.kind, WEIGHING, for_work="WEIGH", title="Weight check")
    reckon()
    return made


def opened(job, **more):
    return job.open(**{"sort": "in_place", "work": "WEIGH", "planned_on_id": None} | more)


def do(job, *, but=()):
    for number, typed in WELL.items():
        if number in but:
            continue
        job.enter(number, typed)
        job.sign(number)
        if number == 3:
            job.inspect(number)


def test_its_release_restarts_the_clock_by_who_authorisation_and_record(job):
    limit = Limit.objects.get(code="WGT")
    before = due(limit, unit=job.old)
    swap = opened(job)
    do(job)

    signature = job.release()

    work = WorkDone.objects.get(unit=job.old, document=f"swap {swap.pk}")
    assert (before, due(limit, unit=job.old)) == ("2027-06-20", "2028-06-01")
    assert (work.work.code, work.who) == ("WEIGH", signature.name)
    assert work.authorisation == signature.authorisation_words[:40] != ""
    assert swap.step_list.title == "Weight check"
    job.old.refresh_from_db()
    assert job.old.place == Place.objects.get(pk=swap.place_id)
    assert not swap.moves.exists() and swap.expected_off == job.old


def test_nothing_is_earned_while_a_step_lacks_or_is_off_tolerance(job):
    opened(job)
    do(job, but=[2])
    job.enter(2, {"value": "19"})

    with pytest.raises(Refused) as told:
        job.release()

    assert {each.code for each in told.value.refusals} == {
        "step_out_of_tolerance",
        "step_not_signed",
    }
    assert not WorkDone.objects.filter(document__startswith="swap").exists()


def test_it_moves_nothing_and_names_its_work_and_unit(job):
    opened(job)
    for act in (job.take_off, job.put_on):
        with pytest.raises(Refused) as told:
            act()
        assert told.value.code == "moves_in_place"


@pytest.mark.parametrize(
    ("more", "code"),
    [
        ({"work": "NONE"}, "unknown_work"),
        ({"work": ""}, "unknown_work"),
        ({"sort": "swap"}, "work_not_in_place"),
        ({"work": "LOOK"}, "no_step_list"),
    ],
)
def test_a_work_that_is_none_or_has_no_list_is_refused(job, more, code):
    a_rule("LOOK", every(6), work="LOOK")

    with pytest.raises(Refused) as told:
        opened(job, **more)

    assert told.value.code == code and not Swap.objects.exists()


def test_of_several_units_there_one_is_named_and_only_one_that_is_there(job):
    with pytest.raises(Refused) as told:
        opened(job, unit_id=job.new.pk)
    assert told.value.code == "unit_not_there"

    assert opened(job, unit_id=job.old.pk).expected_off == job.old


def test_a_unit_that_was_moved_meanwhile_is_not_released(job):
    opened(job)
    do(job)
    build.moved(job.old, "removed", build.in_quarantine(job.station), "2027-06-01 11:00")

    with pytest.raises(Refused) as told:
        job.release()

    assert "unit_not_there" in {each.code for each in told.value.refusals}


def test_a_work_on_the_position_itself_restarts_the_position(job):
    limit = a_rule("SILL", every(24), work="SILLS", subject="position", positions=["D1L-SLIDE"])
    swaps.a_step_list(job.old.part_number.kind, WEIGHING, for_work="SILLS")
    there = position(job.aircraft, "D1L-SLIDE")
    done("SILLS", "2026-06-20", position_id=there.pk)
    reckon()
    opened(job, work="SILLS")
    do(job)

    job.release()

    assert due(limit, position=there) == "2029-06-01"


def test_where_unit_and_position_both_ask_only_what_it_was_begun_from_restarts(job):
    limit = a_rule("SILL", every(24), work="WEIGH", subject="position", positions=["D1L-SLIDE"])
    there = position(job.aircraft, "D1L-SLIDE")
    done("WEIGH", "2026-06-20", position_id=there.pk)
    reckon()
    opened(job, due_item=DueItem.objects.get(limit=limit, position=there).pk)
    do(job)

    job.release()

    assert due(limit, position=there) == "2029-06-01"
    assert due(Limit.objects.get(code="WGT"), unit=job.old) == "2027-06-20"


def test_it_begins_on_a_page_and_reads_as_a_work_in_place(job):
    desk = signed_in(job.technician)
    place = swaps.place_row(job.place).pk
    start = f"{reverse('equipment:swap_start')}?place={place}&work=WEIGH&on={job.old.pk}"

    form = desk.get(start).content.decode()
    sent = {
        "act_id": str(uuid4()),
        "place": place,
        "work": "WEIGH",
        "on": job.old.pk,
        "reason": "Weigh",
        "station": job.station.pk,
    }
    answer = desk.post(start, sent, follow=True)

    page = answer.content.decode()
    swap = Swap.objects.get()
    assert "Weigh, in place" in form and "What is to go on" not in form
    assert (swap.sort, swap.work, swap.expected_off) == ("in_place", "WEIGH", job.old)
    assert "Done in place on" in page and "Comes off" not in page
    assert "Record what came off" not in page


def test_programs_begin_one_too(job):
    desk = signed_in(job.technician)
    sent = {
        "act_id": str(uuid4()),
        "place": {
            "sort": "aircraft",
            "aircraft": job.aircraft.registration,
            "position": "D1L-SLIDE",
        },
        "station": job.station.code,
        "reason": "Weight check is due",
        "sort": "in_place",
        "work": "WEIGH",
        "unit": job.old.pk,
    }

    answer = desk.post("/api/v1/swaps", sent, content_type="application/json")

    assert answer.status_code == 201, answer.content
    assert (answer.json()["sort"], answer.json()["work"]) == ("in_place", "WEIGH")


def test_a_list_of_a_work_in_place_is_never_a_swaps(job):
    assert job.open().step_list.for_work == ""
