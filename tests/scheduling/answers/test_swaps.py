"""What scheduling does for a swap: what is due stops it, what it earned restarts, life used is told."""

from __future__ import annotations

from uuid import uuid4

import pytest

from equipment.models import SwapEnd
from fleet.house.refusals import Refused
from scheduling.answers.swaps import reckoned
from scheduling.models import (
    Amount,
    Clock,
    DueItem,
    Limit,
    Programme,
    ProgrammeOfAircraft,
    Work,
    WorkDone,
)
from tests import builders as build
from tests import builders_swaps as swaps

pytestmark = pytest.mark.django_db


def a_limit(job, work="WEIGHING", months=12, counts_from="manufacture", **more):
    """A limit on every unit of the job's kind, in the programme that its aircraft follows."""
    programme, is_new = Programme.objects.get_or_create(
        code="QPRG", defaults={"name": "Tern", "revision": "3", "govern_spares": True}
    )
    if is_new:
        ProgrammeOfAircraft.objects.create(
            aircraft=job.aircraft,
            programme=programme,
            from_on=build.day("2020-01-01"),
            recorded_at=build.NOW,
        )
    made = Limit.objects.create(
        programme=programme,
        code=f"25-60-{work}",
        revision="1",
        title=work.capitalize(),
        kind=job.old.part_number.kind,
        work=Work.objects.get_or_create(code=work, defaults={"name": work})[0],
        document="QMPD",
        document_revision="4",
        recorded_at=build.NOW,
    )
    clock = Clock.objects.create(
        limit=made,
        seq=1,
        counts_from=counts_from,
        first_from="manufacture",
        measure="months",
        **more,
    )
    Amount.objects.create(clock=clock, seq=1, value=months)
    return made


def a_job(made_on="2027-01-01", rows=swaps.EVERY_SORT):
    job = swaps.a_job(rows)
    for unit in (job.old, job.new):
        unit.manufactured_on = made_on and build.day(made_on)
        unit.save()
    return job


def why_not(job):
    with pytest.raises(Refused) as told:
        job.release()
    return [each.code for each in told.value.refusals]


def test_a_unit_past_its_limit_is_not_released():
    job = a_job("2026-01-01")
    a_limit(job, "OVERHAUL")
    job.do_all()

    assert why_not(job) == ["unit_expired"]


def test_a_unit_whose_life_has_ended_is_not_released():
    job = a_job("2026-01-01")
    a_limit(job, "DISCARD", runs_out="end_of_life")
    job.do_all()

    assert why_not(job) == ["unit_expired"]


def test_a_unit_without_a_basis_is_not_released():
    job = a_job(None)
    a_limit(job, "OVERHAUL")
    job.do_all()

    assert why_not(job) == ["unit_without_basis"]


def test_a_work_that_the_job_earns_restarts_its_limit_in_the_same_act():
    job = a_job("2026-01-01")
    limit = a_limit(job, counts_from="last_done")
    job.do_all()

    signature = job.release()

    work = WorkDone.objects.get(unit=job.new)
    assert (work.work, work.done_on, work.document) == (
        limit.work,
        build.day("2027-06-01"),
        f"swap {job.swap.pk}",
    )
    assert work.who == signature.name
    assert SwapEnd.objects.get(swap=job.swap).works == ["WEIGHING"]
    (item,) = reckoned([job.new.pk], build.day("2027-06-01"))
    assert item.due_on == build.day("2028-06-01")
    assert DueItem.objects.stale().count() == 0


def test_a_work_earned_that_does_not_make_the_unit_right_stops_the_release():
    job = a_job("2026-01-01")
    a_limit(job)  # by manufacture: no weighing restarts it
    job.do_all()

    assert why_not(job) == ["unit_expired"]
    assert not WorkDone.objects.exists()


def test_a_work_that_no_programme_knows_is_said_to_be_so():
    job = a_job()
    job.do_all()

    job.release()

    assert SwapEnd.objects.get(swap=job.swap).works == ["WEIGHING (no such work on record)"]


def test_the_life_used_and_left_of_the_unit_that_came_off_is_kept():
    job = a_job("2027-01-01")
    a_limit(job, "DISCARD", months=24, runs_out="end_of_life")
    a_limit(job, "OVERHAUL", months=36)
    job.do_all()

    job.release()

    (told,) = SwapEnd.objects.get(swap=job.swap).dispositions
    assert (told["part"], told["serial"]) == (job.old.part_number.number, job.old.serial_number)
    assert (told["used"], told["left"], told["unit"]) == ("151", "580", "days")


def refitted(job, at="2027-06-01 09:00", **more):
    job.open()
    job.take_off(
        minutes=more.get("before"),
        tag=swaps.TagFact("serviceable", "removed_good"),
        to=build.in_store(job.station),
    )
    job.put_on(job.old, when=build.on(at), minutes=more.get("after"))
    job.do_steps()
    job.release()
    return SwapEnd.objects.get(swap=job.swap).dispositions


def test_refitted_with_no_time_flown_there_is_nothing_to_dispose():
    job = a_job("2027-01-01")
    a_limit(job, "DISCARD", months=24, runs_out="end_of_life")

    assert refitted(job, before=600_000, after=600_000) == []


def test_refitted_after_the_aircraft_flew_without_it_its_life_is_told():
    job = a_job("2027-01-01")
    a_limit(job, "DISCARD", months=24, runs_out="end_of_life")

    assert len(refitted(job, before=600_000, after=600_120)) == 1


def test_a_unit_that_failed_its_test_is_not_released_until_it_passes_one():
    job = swaps.a_job(swaps.SHORT)
    hydro = Work.objects.create(code="HYDRO", name="hydrostatic test")
    failed_on(job.new, hydro, "2027-05-20")
    job.do_all()

    with pytest.raises(Refused) as refused:
        job.release()
    failed_on(job.new, hydro, "2027-05-25", result="passed")

    assert [each.code for each in refused.value.refusals] == ["unit_expired"]
    assert "its hydrostatic test of 20 May 2027 failed" in refused.value.message
    assert job.release()


def test_a_failed_test_that_the_swap_itself_does_again_stands_in_no_way():
    job = swaps.a_job()
    failed_on(job.new, Work.objects.create(code="WEIGHING", name="weighing"), "2027-05-20")
    job.do_all()

    assert job.release()


def failed_on(unit, work, on, result="failed"):
    return WorkDone.objects.create(
        work=work,
        unit=unit,
        done_on=build.day(on),
        result=result,
        act_id=uuid4(),
        recorded_at=build.NOW,
    )
