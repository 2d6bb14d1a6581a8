"""A bottle's life and its test as two clocks of one limit are told apart, and life by what decides it."""

from __future__ import annotations

from uuid import uuid4

import pytest

from equipment.keeping.papers import record_life_statements
from equipment.ledger.facts import LifeStatementFact
from fleet.utilisation.acts.readings import NewReading, record_readings
from scheduling.answers import swaps
from scheduling.due.due_list import explanation
from tests import builders as build
from tests.scheduling.rules import DAY, Runs, a_rule, done, follows, item, reckon

pytestmark = pytest.mark.django_db


@pytest.fixture
def bottle():
    kind = build.a_kind("BOTTLE")
    made = build.a_unit(build.a_part(kind=kind), manufactured_on=build.day("2012-06-15"))
    aircraft = follows(build.an_aircraft(of_type=build.an_aircraft_type("D1L-SLIDE", kind=kind)))
    build.installed(made, build.at_position(aircraft), "2027-05-02")
    made.aircraft = aircraft
    return made


LIFE = Runs("months", [(240, "any")], {"counts_from": "manufacture", "runs_out": "end_of_life"})
TEST = Runs(
    "months",
    [(60, "any")],
    {"counts_from": "last_done", "first_from": "manufacture", "runs_out": "until_emptied"},
)


def test_a_test_that_is_due_does_not_end_a_life_of_five_more_years(bottle):
    a_rule("HYDRO", TEST, LIFE)
    done("INSPECT", "2022-03-01", unit_id=bottle.pk)

    limits = swaps.bottle_limits(bottle.pk, DAY)

    assert limits.is_test_required
    assert limits.requalify_by == build.day("2027-03-01")
    assert limits.life_ends_on == build.day("2032-06-15")


def test_what_a_test_without_a_basis_lacks_leaves_the_life_known(bottle):
    a_rule("HYDRO", Runs("months", [(60, "any")], {**TEST.columns, "first_from": ""}), LIFE)

    limits = swaps.bottle_limits(bottle.pk, DAY)

    assert (limits.is_test_required, limits.requalify_by) == (True, None)
    assert limits.life_ends_on == build.day("2032-06-15")


def test_a_life_is_told_in_the_measure_that_decides(bottle):
    hours = build.the_hours()
    flown = Runs(hours.code, [(10**7, "any")], LIFE.columns)
    a_rule("LIFE", flown, LIFE)
    fact = LifeStatementFact(bottle.pk, hours.pk, build.day("2027-05-01"), 600, "log", "card")
    record_life_statements(by=build.a_person("controller", "stores"), rows=[fact], at=build.NOW)

    aircraft = bottle.aircraft
    row = NewReading(aircraft.pk, hours.pk, build.instant("2027-05-01T00:00:00"), 900, uuid4())
    record_readings(by=build.a_person("controller"), rows=[row], now=build.NOW)

    [told] = swaps.life_status(bottle.pk, DAY)

    # 240 months of 15 June 2012
    assert (told["used"], told["left"], told["unit"]) == ("5\u202f464", "1\u202f841", "days")


def test_a_test_that_the_life_cuts_short_ends_for_good(bottle):
    capped = Runs("months", [(60, "any")], {**TEST.columns, "never_later_months": 184})
    limit = a_rule("HYDRO", capped)
    done("INSPECT", "2024-03-01", unit_id=bottle.pk)
    reckon()

    told = explanation(item_id=item(limit).pk, as_of=DAY)

    text = " ".join(told.steps)
    assert "Never later than 184 months from manufacture, 15 Jun 2012: 15 Oct 2027." in text
    assert "until emptied" not in text
    assert "its life has ended, for good" in text
    assert told.row.notes == ("end of life",)
