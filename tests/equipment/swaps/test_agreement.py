"""What the page lists as standing in the way is what the act refuses with: the same codes, at the same steps."""

from __future__ import annotations

import pytest

from equipment.judging.release.obstacles import stands_in_the_way
from equipment.models import Discrepancy
from equipment.swaps.pages.shown import swap_page, whole_swap
from equipment.swaps.reads.state import state_of
from fleet.house.refusals import Refused
from tests import builders as build
from tests import builders_swaps as swaps

pytestmark = pytest.mark.django_db


def nothing(job):
    pass


def half(job):
    job.take_off()
    for number in (1, 3):
        job.enter(number)
    job.sign(1)


def off_tolerance(job):
    job.take_off(), job.put_on(), job.do_steps()
    job.enter(7, {"value": "40", "drag": "2"})


def misfit(job):
    job.take_off()
    job.put_on(build.a_unit(build.a_part(kind=build.a_kind("VEST"))))
    job.do_steps()


def pins_missing(job):
    job.take_off(), job.put_on(), job.do_steps()
    job.enter(1, {"count": "3"})


def not_inspected(job):
    job.take_off(), job.put_on(), job.do_steps(but=[13])
    job.enter(13)
    job.sign(13)


@pytest.mark.parametrize(
    "life", [nothing, half, off_tolerance, misfit, pins_missing, not_inspected]
)
def test_page_state_and_act_say_the_same(life):
    job = swaps.a_job(swaps.SHORT)
    job.open()
    life(job)

    with pytest.raises(Refused) as told:
        job.release()

    by_act = [(each.code, each.field, each.message) for each in told.value.refusals]
    by_state = stands_in_the_way(state_of(job.swap, job.now))
    by_page = swap_page(whole_swap(job.swap.pk)).obstacles
    for found in (by_state, by_page):
        assert by_act == [
            (each.code, f"step-{each.step_number}" if each.step_number else None, each.sentence)
            for each in found
        ]
    assert Discrepancy.objects.filter(swap=job.swap).count() == (life is misfit)
