"""What records hold and for how long, through the product (published-facts section 6)."""

from __future__ import annotations

from uuid import uuid4

import pytest
from django.db import ProgrammingError, transaction

from equipment.models import SwapEnd
from equipment.swaps.acts import TagFact
from fleet.house.refusals import Refused
from scheduling.models import Amount, Clock, Limit, Programme, ProgrammeOfAircraft, Work, WorkDone
from tests import builders as build
from tests import builders_swaps as swaps
from tests.equipment.stores.world import a_line, a_paper, received, works

pytestmark = pytest.mark.django_db


# --- RK-07 ------------------------------------------------------------------------------------


def a_life(job):
    """The slide has a life of 20 years: it is a life-limited part."""
    programme = Programme.objects.create(code="MP", name="MP", revision="1", govern_spares=True)
    ProgrammeOfAircraft.objects.create(
        aircraft=job.aircraft, programme=programme, from_on=swaps.EVER, recorded_at=build.NOW
    )
    limit = Limit.objects.create(
        programme=programme,
        code="LIFE",
        revision="1",
        title="Life",
        kind=job.old.part_number.kind,
        work=Work.objects.create(code="DISCARD", name="Discard"),
        document="MP",
        document_revision="1",
        recorded_at=build.NOW,
    )
    clock = Clock.objects.create(
        limit=limit, seq=1, counts_from="manufacture", measure="months", runs_out="end_of_life"
    )
    Amount.objects.create(clock=clock, seq=1, value=240)
    for unit in (job.old, job.new):
        type(unit).objects.filter(pk=unit.pk).update(manufactured_on=build.day("2020-01-01"))


def refitted(job, cycles_on):
    """The same unit off and on again, the aircraft's cycles as read at both."""
    job.open()
    job.enter(1)
    job.enter(3)
    good = TagFact("serviceable", "removed_good", "for access")
    store = build.in_store(job.station)
    job.take_off(cycles=5000, minutes=600_000, to=store, tag=good)
    job.enter(6)
    job.put_on(job.old, cycles=cycles_on, minutes=600_000)
    for number in (7, 13):
        job.enter(number)
    for number in (1, 3, 6, 7, 13):
        job.sign(number)
    for number in (7, 13):
        job.inspect(number)
    job.release()
    return SwapEnd.objects.get(swap=job.swap).dispositions


@pytest.mark.parametrize(("cycles_on", "is_needed"), [(5000, False), (5001, True)])
def test_rk_07_off_and_on_the_same_aircraft_without_a_flight_no_disposition(cycles_on, is_needed):
    # 43.10(b): life unchanged, same product, no time gained while off; 1 cycle flown: needed.
    job = swaps.a_job(swaps.SHORT)
    a_life(job)

    assert bool(refitted(job, cycles_on)) is is_needed


# --- RK-09 ------------------------------------------------------------------------------------


def test_rk_09_superseded_work_may_be_purged_and_here_is_kept():
    # 121.380(c): until superseded *or* one year; section 13 policy 10: kept for ever here. The
    # application's account cannot delete what was recorded, an overhaul least of all.
    unit = build.a_unit()
    work = Work.objects.create(code="OVH", name="Overhaul")
    for on in ("2025-02-10", "2025-05-01"):
        WorkDone.objects.create(
            work=work, unit=unit, done_on=build.day(on), act_id=uuid4(), recorded_at=build.NOW
        )

    with pytest.raises(ProgrammingError, match="permission denied"), transaction.atomic():
        WorkDone.objects.filter(done_on="2025-02-10").delete()

    assert WorkDone.objects.filter(unit=unit).count() == 2


# --- RK-11 ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("printed", "is_lot", "code"),
    [
        ("", False, "block_10_blank"),
        (" ", False, "block_10_blank"),
        ("N/A", False, "block_10_not_applicable"),
        ("N/A", True, None),
        ("A100", False, None),
    ],
)
def test_rk_11_block_10_is_filled_and_n_a_only_of_what_has_no_serial(printed, is_lot, code):
    # EASA Form 1, block 10: "If there is no serial number identified on the item, enter 'N/A'".
    works()
    build.a_part("HS-1", is_lot=is_lot)
    line = a_line("A100", printed_serial=printed, quantity=5 if is_lot else 1)

    if code is None:
        assert received(line, paper=a_paper()).lines
        return
    with pytest.raises(Refused) as refused:
        received(line, paper=a_paper())
    assert code in {each.code for each in refused.value.refusals}
