"""A spare whose limit counts landings at listed stations lasts by the rate of those, not of flights."""

from __future__ import annotations

from datetime import date
from uuid import uuid4

import pytest

from equipment.keeping.papers import record_life_statements
from equipment.ledger.facts import LifeStatementFact
from fleet.models import Measure, PlannedRate
from fleet.utilisation.acts.readings import NewReading, record_readings
from scheduling.allocation.facts.codec import supply_plain, supply_read
from scheduling.allocation.reads.judged import judged
from scheduling.allocation.reads.kept import around
from scheduling.matching.facts.lasting import lasts_at
from tests import builders as build
from tests.scheduling import rules as on

from . import world as here

pytestmark = pytest.mark.django_db

NAME = "landings at listed stations"


@pytest.fixture
def world(db):
    """Slides last 400 listed landings. The first aircraft makes two a day of ten flights, the second one."""
    made = here.a_world()
    flights = Measure.objects.create(
        code="FC", name="flight cycles", unit="count", counted_on="aircraft"
    )
    for aircraft, landings in zip(made.aircraft, (2, 1), strict=True):
        a_rate(aircraft, flights, 10)
        a_rate(aircraft, the_landings(), landings)
    on.a_rule(
        "SLIDE-LIFE",
        on.Runs("LDG", [(400, "any")], {"counts_from": "manufacture", "runs_out": "end_of_life"}),
        work="SCRAP",
        kind=build.a_kind("SLIDE"),
    )
    return made


def the_landings():
    named = {"name": NAME, "unit": "count", "counted_on": "aircraft"}
    return Measure.objects.get_or_create(code="LDG", defaults=named)[0]


def a_rate(aircraft, measure, a_day):
    PlannedRate.objects.create(
        aircraft=aircraft,
        measure=measure,
        from_on=date(2027, 1, 1),
        per_day_milli=a_day * 1000,
        recorded_at=here.AT,
    )


def stated(unit, landings):
    fact = LifeStatementFact(
        unit.pk, the_landings().pk, date(2027, 3, 1), landings, "log card", "certificate"
    )
    record_life_statements(by=build.a_person("controller", "stores"), rows=[fact], at=here.AT)


def a_spare(world, landings):
    spare = world.a_spare()
    stated(spare, landings)
    return spare


def need_of(found, aircraft):
    return next(need for need in found.facts.needs if need.msn == aircraft.msn)


def test_a_spare_lasts_by_the_rate_of_what_its_limit_counts(world):
    spare = a_spare(world, 250)

    found = world.gathered()

    supply = found.supplies[str(spare.pk)].supply
    many, few = (need_of(found, one) for one in world.aircraft)
    # 150 landings from 5 July: 75 days at two a day, 150 at one
    assert lasts_at(many, supply) == date(2027, 9, 18)
    assert lasts_at(few, supply) == date(2027, 12, 2)


def test_the_proposal_goes_by_it_and_says_it_by_its_name(world):
    spare = a_spare(world, 250)

    run = world.propose()

    many, few = (here.need_at(run, one) for one in world.aircraft)
    told = judged(around(many), str(spare.pk))
    assert (many.unit_id, few.unit_id) == (None, spare.pk)
    assert f"It has 150 {NAME} remaining: at 2.00 {NAME} a day" in told.sentences[0]


def test_what_comes_off_goes_on_using_them_until_then(world):
    aircraft = world.aircraft[1]
    slide = world.fitted[aircraft.registration]
    stated(slide, 100)
    readings = [
        NewReading(aircraft.pk, the_landings().pk, build.instant(when), 900, uuid4())
        for when in ("2027-02-28T12:00:00", "2027-05-31T12:00:00")
    ]
    record_readings(by=build.a_person("controller"), rows=readings, now=here.AT)

    found = world.gathered()

    supply = found.supplies[str(slide.pk)].supply
    # 34 days at one a day, from the day asked to the removal on 5 July
    assert [(one.measure, one.amount) for one in supply.left] == [(NAME, 300 - 34)]
    assert supply_read(supply_plain(supply)) == supply
