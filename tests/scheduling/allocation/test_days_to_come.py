"""A unit lasts as long as every rule that is known allows: those in force from a later day too."""

from __future__ import annotations

from datetime import date

import pytest

from fleet.models import AircraftStatus
from scheduling.allocation.reads.judged import judged
from scheduling.allocation.reads.kept import around
from tests import builders as build
from tests.scheduling import rules as on

from . import world as here

pytestmark = pytest.mark.django_db


@pytest.fixture
def world():
    """Overhauls each 36 months; from 1 August 2027 each 3 months, said today."""
    return here.a_world(planes=1)


def revised(months, since="2027-08-01"):
    clock = on.every(months, first_from="manufacture")
    limit = {"revision": "2", "from_on": build.day(since), "kind": build.a_kind("SLIDE")}
    on.a_rule("SLIDE-OVH", clock, work="OVERHAUL", **limit)


def lasts(world, unit):
    return world.gathered().supplies[str(unit.pk)].supply.lasts_until


def test_a_spare_whose_life_ends_by_the_later_rule_is_not_proposed_as_lasting(world):
    spare = world.a_spare(made="2027-01-10")
    need = here.need_at(world.propose(), world.aircraft[0])
    assert need.unit_id == spare.pk

    revised(8)

    # 8 months from 10 January 2027: 10 September, before the next opportunity on 8 November.
    assert lasts(world, spare) == date(2027, 9, 10)
    need = here.need_at(world.propose(), world.aircraft[0])
    assert need.unit_id is None
    told = judged(around(need), str(spare.pk))
    assert "life_ends_early" in {one.code for one in told.against}


def test_what_the_shop_does_lasts_no_longer_than_the_later_rule(world):
    here.a_rule_of_stock(turn_days=30)
    slide = world.fitted[world.aircraft[0].registration]
    today = lasts(world, slide)
    revised(3)

    # Off on 5 July, back 30 days later, on 4 August: three months more, not 36.
    assert lasts(world, slide) == date(2027, 11, 4)
    assert today > date(2030, 1, 1)


def test_a_rule_from_a_day_after_the_work_ends_it_on_its_eve_at_the_earliest(world):
    here.a_rule_of_stock(turn_days=30)
    revised(3, since="2028-02-01")

    assert lasts(world, world.fitted[world.aircraft[0].registration]) == date(2028, 1, 31)


def test_a_longer_rule_of_later_lengthens_nothing_today(world):
    here.a_rule_of_stock(turn_days=30)
    slide = world.fitted[world.aircraft[0].registration]
    today = lasts(world, slide)
    revised(60, since="2027-09-01")

    assert lasts(world, slide) == today


def test_no_unit_is_needed_for_an_aircraft_that_will_have_left(world):
    # Due on 1 August at its check in July; it leaves before that, or the day after.
    world.a_spare()
    assert here.need_at(world.propose(), world.aircraft[0])
    leaving = AircraftStatus.objects.create(
        aircraft=world.aircraft[0],
        status="left",
        from_on=build.day("2027-08-02"),
        recorded_at=build.NOW,
    )

    gathered = world.gathered()

    assert gathered.needs == {}
    assert str(world.fitted[world.aircraft[0].registration].pk) not in gathered.supplies
    leaving.from_on = build.day("2027-08-03")
    leaving.save()
    assert len(world.gathered().needs) == 1
