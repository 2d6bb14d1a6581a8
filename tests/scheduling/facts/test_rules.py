"""The rules in force on a day: which revision, and what asking again for them costs."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from scheduling.facts.rules import rules_on
from tests import builders as build
from tests.scheduling.rules import DAY, Runs, a_rule, due, every, follows, reckon

pytestmark = pytest.mark.django_db
NEXT_DAY = DAY + timedelta(days=1)


def revisions_on(day):
    return [(rule.limit.code, rule.limit.revision) for rule in rules_on(day).rules]


def test_each_day_has_its_own_revision_of_a_limit():
    a_rule("OH-1", every(36), revision="1", until_on=DAY)
    a_rule("OH-1", every(24), revision="2", from_on=NEXT_DAY)

    assert revisions_on(DAY) == [("OH-1", "1")]
    assert revisions_on(NEXT_DAY) == [("OH-1", "2")]


def test_of_revisions_in_force_at_once_the_later_begun_holds():
    a_rule("OH-1", every(24), revision="2", from_on=DAY)
    a_rule("OH-1", every(36), revision="1")

    assert revisions_on(DAY) == [("OH-1", "2")]
    assert revisions_on(DAY - timedelta(days=1)) == [("OH-1", "1")]


def test_other_days_ask_no_more_and_a_changed_limit_is_read_again():
    limit = a_rule("OH-1", every(36))
    rules_on(DAY)
    with CaptureQueriesContext(connection) as asked_again:
        rules_on(DAY)

    with CaptureQueriesContext(connection) as asked_of_others:
        for days in range(1, 9):
            rules_on(DAY + timedelta(days=days))
    limit.until_on = DAY - timedelta(days=1)
    limit.save(update_fields=["until_on"])

    assert len(asked_of_others) == 8 * len(asked_again)
    assert revisions_on(DAY) == []


def test_a_clock_of_a_word_that_nobody_knows_is_no_clock_and_its_limit_stays():
    a_rule("OH-1", every(36, first_from="manufacture", rounds="decade"))

    [rule] = rules_on(DAY).rules

    assert (rule.limit.code, rule.limit.clocks) == ("OH-1", ())


def test_a_clock_that_runs_while_installed_leaves_out_the_store_whatever_other_limits_ask():
    kind = build.a_kind("SLIDE")
    slide = build.a_unit(build.a_part(kind=kind), manufactured_on=build.day("2026-01-01"))
    build.moved(slide, "received", build.in_store(build.a_station()), "2026-01-11")
    aircraft = follows(build.an_aircraft(of_type=build.an_aircraft_type("D1L-SLIDE", kind=kind)))
    build.installed(slide, build.at_position(aircraft), "2026-02-10")
    clock = {"counts_from": "manufacture", "runs": "installed_only"}
    limit = a_rule("LIFE-1", Runs("days", [(600, "any")], clock), kind=kind)

    reckon()

    # 600 days from 1 January 2026, and the 30 that it lay in store
    assert due(limit) == "2027-09-23"
