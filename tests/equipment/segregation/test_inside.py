"""A light changed inside a slide that is in the shop: a swap of its own, at the slide's own position."""

from __future__ import annotations

import pytest

from equipment.models import Movement, Unit
from equipment.swaps.reads.rows import moves_of, rows_of, whole
from equipment.swaps.reads.state import ledger_of
from tests import builders as build
from tests.builders_swaps import SHORT, a_certificate, a_job, a_step_list

pytestmark = pytest.mark.django_db


@pytest.fixture
def job(db):
    """A job whose place is the light's, inside a slide in the shop with the old light in it."""
    job = a_job(SHORT)
    slide = build.a_unit(build.a_part("", "LIGHT"))
    build.moved(slide, "received", build.in_store(job.station), "2027-02-01")
    build.moved(slide, "sent", build.SHOP, "2027-02-10")
    job.place = build.inside(slide)
    a_step_list(build.a_kind(), SHORT)
    job.old, job.new = build.a_unit(), build.a_unit()
    build.installed(job.old, job.place, "2027-02-12 08:00")
    build.moved(job.new, "received", build.in_store(job.station), "2027-02-15")
    a_certificate(job.new)
    return job


def test_it_is_opened_done_and_released_like_any_other(job):
    swap = job.open(sort="inside")
    job.take_off(to=build.SHOP)
    done = job.put_on()
    job.do_steps()

    job.release()

    assert (swap.sort, swap.aircraft, done.is_conforming) == ("inside", None, True)
    assert Unit.objects.get(pk=job.new.pk).place.parent_unit_id == job.place.parent_unit_id
    assert Unit.objects.get(pk=job.old.pk).place.sort == "shop"


def test_both_halves_are_needed(job):
    job.open(sort="inside")

    ledger = ledger_of(rows_of(whole(job.swap.pk)))

    assert (ledger.needs_removal, ledger.needs_installation) == (True, True)
    assert moves_of(job.swap) == {}
    assert not Movement.objects.filter(swap_link__swap=job.swap).exists()
