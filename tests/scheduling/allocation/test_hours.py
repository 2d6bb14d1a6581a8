"""A spare whose limit is in hours lasts as long as the aircraft that it would go on takes to fly them."""

from __future__ import annotations

from datetime import date
from uuid import uuid4

import pytest

from equipment.keeping.papers import record_life_statements
from equipment.ledger.facts import LifeStatementFact
from fleet.models import PlannedRate
from fleet.utilisation.acts.readings import NewReading, record_readings
from scheduling.allocation.facts.codec import need_plain, need_read, supply_plain, supply_read
from scheduling.allocation.reads.judged import judged
from scheduling.allocation.reads.kept import around
from scheduling.matching.facts.facts import Left, Rate
from scheduling.matching.facts.lasting import lasts_at
from tests import builders as build
from tests.scheduling import rules as on

from . import world as here

pytestmark = pytest.mark.django_db
DAY_SECONDS = 86_400


@pytest.fixture
def world():
    """Two aircraft whose slides come off in July and can be reached again in November, 126 days later; of
    slides 1,000 hours since new are all that is allowed. One aircraft flies eight hours a day, one three."""
    world = here.a_world()
    build.the_hours()
    on.a_rule(
        "SLIDE-LIFE",
        on.Runs(
            "hours",
            [(1_000 * 60, "any")],
            {"counts_from": "manufacture", "runs_out": "end_of_life"},
        ),
        work="SCRAP",
        kind=build.a_kind("SLIDE"),
    )
    for aircraft, hours in zip(world.aircraft, (8, 3), strict=True):
        PlannedRate.objects.create(
            aircraft=aircraft,
            measure=build.the_hours(),
            from_on=date(2027, 1, 1),
            per_day_milli=hours * 60_000,
            recorded_at=here.AT,
        )
    return world


def stated(world, unit, hours):
    fact = LifeStatementFact(
        unit.pk, build.the_hours().pk, date(2027, 3, 1), hours * 60, "log card", "certificate"
    )
    record_life_statements(by=build.a_person("controller", "stores"), rows=[fact], at=here.AT)


def need_of(found, aircraft):
    return next(need for need in found.facts.needs if need.msn == aircraft.msn)


def test_the_rate_of_each_aircraft_says_how_long_the_same_spare_lasts_there(world):
    spare = world.a_spare()
    stated(world, spare, 400)

    found = world.gathered()

    supply = found.supplies[str(spare.pk)].supply
    much, little = (need_of(found, one) for one in world.aircraft)
    assert supply.left == (Left("hours", 600 * 60),)
    assert much.rates == (Rate("hours", 480_000, 1000 * DAY_SECONDS),)
    # 600 hours: 75 days at eight a day, 200 at three
    assert lasts_at(much, supply) == date(2027, 9, 18)
    assert lasts_at(little, supply) == date(2028, 1, 21)


def test_the_spare_goes_where_it_lasts_and_why_not_says_the_hours_and_the_rate(world):
    spare = world.a_spare()
    stated(world, spare, 400)

    run = world.propose()

    much, little = (here.need_at(run, one) for one in world.aircraft)
    assert (much.unit_id, little.unit_id) == (None, spare.pk)
    told = judged(around(much), str(spare.pk))
    assert [one.code for one in told.against] == ["life_ends_early"]
    assert "It has 600:00 hours remaining: at 8.00 hours a day" in told.sentences[0]


def test_a_spare_of_unknown_hours_covers_nothing(world):
    spare = world.a_spare()

    found = world.gathered()

    assert found.supplies[str(spare.pk)].supply.lasts_until is None


def test_what_is_left_and_the_rates_are_kept_with_the_proposal(world):
    spare = world.a_spare()
    stated(world, spare, 400)
    found = world.gathered()
    need, supply = found.facts.needs[0], found.supplies[str(spare.pk)].supply

    assert need_read(need_plain(need)) == need
    assert supply_read(supply_plain(supply)) == supply


def test_what_comes_off_goes_on_using_its_hours_until_then_and_none_in_the_shop(world):
    aircraft = world.aircraft[1]
    slide = world.fitted[aircraft.registration]
    stated(world, slide, 400)
    readings = [
        NewReading(aircraft.pk, build.the_hours().pk, build.instant(when), 90_000, uuid4())
        for when in ("2027-02-28T12:00:00", "2027-05-31T12:00:00")
    ]
    record_readings(by=build.a_person("controller"), rows=readings, now=here.AT)

    found = world.gathered()

    # 34 days at three hours, from the day asked to the removal on 5 July
    assert found.supplies[str(slide.pk)].supply.left == (Left("hours", (600 - 102) * 60),)
