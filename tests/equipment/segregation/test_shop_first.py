"""A unit that was deployed or discharged may not be fitted until the shop has had it, whatever it is tagged later."""

from __future__ import annotations

from uuid import uuid4

import pytest

from equipment.judging.release.obstacles import stands_in_the_way
from equipment.models import UnitTag
from equipment.swaps.reads.state import state_of
from tests import builders as build
from tests.builders_swaps import a_job

pytestmark = pytest.mark.django_db


@pytest.fixture
def job(db):
    """A swap whose new unit was deployed in April."""
    job = a_job()
    tagged(job, "unserviceable", "deployed", "2027-04-01 08:00")
    return job


def tagged(job, sort, why, at):
    UnitTag.objects.create(
        act_id=uuid4(),
        unit=job.new,
        sort=sort,
        why=why,
        tagged_at=build.instant(at),
        recorded_at=build.NOW,
        recorded_by=job.technician,
    )


def fitted(job):
    """The codes of what stands in the way once the new unit is on."""
    job.open()
    job.take_off()
    job.put_on()
    return {each.code for each in stands_in_the_way(state_of(job.swap, job.now))}


def test_a_later_tag_of_the_line_does_not_undo_it(job):
    tagged(job, "serviceable", "removed_good", "2027-04-02 08:00")

    assert "unit_unserviceable" in fitted(job)


def test_the_shops_own_tag_does(job):
    tagged(job, "serviceable", "shop", "2027-04-02 08:00")

    assert "unit_unserviceable" not in fitted(job)


def test_having_been_in_the_shop_does(job):
    build.moved(job.new, "sent", build.SHOP, "2027-04-02 08:00")
    build.moved(job.new, "returned", build.in_store(job.station), "2027-05-02 08:00")
    tagged(job, "serviceable", "removed_good", "2027-05-03 08:00")

    assert "unit_unserviceable" not in fitted(job)
