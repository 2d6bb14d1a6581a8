"""Stored due items follow the facts: at once, by comparison of stamps, and nothing else moves."""

from __future__ import annotations

from datetime import date, timedelta
from uuid import uuid4

import pytest
from django.utils import timezone

from fleet.house.pages import end_of
from fleet.models import PlannedRate, User, UtilisationReading
from fleet.utilisation.acts.readings import NewReading, record_readings
from scheduling.bench.scratch import fill
from scheduling.due.lists import reckoned, stored
from scheduling.due.lists.filters import DueFilters
from scheduling.due.lists.scope import scope_of
from scheduling.facts.rules import rules_on
from scheduling.models import DueItem, Limit, Programme, RecomputeRun
from scheduling.programme.acts.works import NewWork, record_works
from scheduling.reckoning import recompute
from scheduling.reckoning.bulk import finish_runs, recompute_all

pytestmark = [pytest.mark.slow, pytest.mark.django_db]
DAY = date(2026, 11, 25)
EVERYTHING = DueFilters()


@pytest.fixture
def by(as_owner):
    with as_owner():
        fill(500, DAY)
    recompute_all(as_of=DAY, now=timezone.now())
    return User.objects.get(username="bench")


def a_work(by, unit_id=7, work_id=1, **more):
    said = {"result": "passed"} | more
    work = NewWork(work_id=work_id, unit_id=unit_id, done_on=DAY, act_id=uuid4(), **said)
    return record_works(by=by, rows=[work], now=timezone.now())


def a_reading(by, total, day=DAY, **more):
    row = NewReading(
        aircraft_id=1,
        measure_id=2,
        read_at=end_of(day),
        total=total,
        act_id=uuid4(),
        is_confirmed=True,
        **more,
    )
    return record_readings(by=by, rows=[row], now=timezone.now())[0]


def everything_stored():
    return {i.id: i for items in stored.everything(scope_of(EVERYTHING)) for i in items}


def everything_reckoned(day=DAY):
    found = reckoned.listed(scope_of(EVERYTHING), day).everything(scope_of(EVERYTHING), 10**6)
    return {i.id: i for items in found for i in items}


@pytest.mark.parametrize("sort", ["urgency", "due", "aircraft", "part", "work"])
@pytest.mark.parametrize("is_descending", [False, True])
def test_stored_and_reckoned_lists_have_one_order(by, sort, is_descending):
    scope = scope_of(DueFilters(sort=sort, is_descending=is_descending, kind="KIND3"))
    of_stored = [i for items in stored.everything(scope) for i in items]
    of_reckoned = [i for items in reckoned.listed(scope, DAY).everything(scope) for i in items]

    assert of_stored == of_reckoned
    assert stored.counts(scope) == reckoned.listed(scope, DAY).counts(scope)


def test_a_usual_night_writes_only_what_differs(by):
    again = recompute_all(as_of=DAY, now=timezone.now())
    again.refresh_from_db()

    assert again.items == 0


def test_a_work_moves_the_items_of_its_unit_and_no_other(by):
    before = everything_stored()

    a_work(by)

    after = everything_stored()
    assert {i.unit_id for key, i in after.items() if before.get(key) != i} == {7}
    assert after == everything_reckoned()


def test_a_failed_or_annulled_work_restarts_nothing(by):
    before = {key: i.due_on for key, i in everything_stored().items()}

    a_work(by, result="failed")
    [passed] = a_work(by)
    a_work(by, corrects_id=passed.pk, is_annulment=True)

    assert {key: i.due_on for key, i in everything_stored().items()} == before


def test_a_late_reading_moves_what_depends_on_it_and_nothing_else(by):
    before = everything_stored()

    a_reading(by, 4 * 4000 - 2, day=DAY - timedelta(days=3))

    after = everything_stored()
    changed = [key for key, i in after.items() if i.due_on != before[key].due_on]
    assert all(after[key].aircraft_id == 1 for key in changed)
    assert after == everything_reckoned()
    assert not DueItem.objects.stale().exists()


def test_a_reading_that_runs_backwards_is_kept_and_counted_by_nobody(by):
    before = {key: i.due_on for key, i in everything_stored().items()}

    kept = a_reading(by, 5)

    assert not kept.is_conforming and kept.reasons
    assert {key: i.due_on for key, i in everything_stored().items()} == before


def test_a_corrected_reading_counts_in_place_of_the_one_it_names(by):
    wrong = UtilisationReading.objects.filter(measure=2).latest("read_at")

    a_reading(by, wrong.total + 400, corrects_id=wrong.pk)

    after = everything_stored()
    assert after == everything_reckoned()
    assert a_reading(by, wrong.total + 401, day=DAY + timedelta(days=1)).is_conforming


def test_a_fact_of_the_aircraft_written_by_anyone_makes_its_items_stale(by):
    PlannedRate.objects.create(
        aircraft_id=1, measure_id=2, from_on=DAY, per_day_milli=9000, recorded_at=timezone.now()
    )

    stale = set(DueItem.objects.stale().values_list("aircraft", flat=True))
    assert stale == {1}

    while recompute.recompute_stale(DAY):
        pass
    assert everything_stored() == everything_reckoned()


def test_a_revised_limit_makes_the_items_of_its_programme_stale(by):
    limit = Programme.objects.get().limits.get(code="L3-1")
    limit.until_on = DAY + timedelta(days=9000)
    limit.save(update_fields=["until_on"])

    assert DueItem.objects.stale().count() == DueItem.objects.count()


def test_where_the_arithmetic_fails_the_record_stands_and_its_items_are_stale(by, monkeypatch):
    def fails(*args, **kwargs):
        raise ArithmeticError("a sum that cannot be done")

    monkeypatch.setattr(recompute, "table_of", fails)
    [work] = a_work(by)
    monkeypatch.undo()

    assert work.pk
    assert set(DueItem.objects.stale().values_list("unit", flat=True)) == {7}
    assert RecomputeRun.objects.get(finished_at=None).unit_ids == [7]

    finish_runs(as_of=DAY, now=timezone.now())
    assert not DueItem.objects.stale().exists()
    assert everything_stored() == everything_reckoned()


def test_where_no_limit_is_in_force_nothing_is_due_and_no_fact_is_read(
    by, as_owner, django_assert_max_num_queries
):
    with as_owner():
        Limit.objects.update(until_on=DAY - timedelta(days=1))
        for stamp, programme in enumerate(Programme.objects.order_by("-facts_stamp")):
            Programme.objects.filter(pk=programme.pk).update(facts_stamp=10**9 + stamp)
    others, rules = DueItem.objects.exclude(unit_id=7).count(), rules_on(DAY)

    with django_assert_max_num_queries(6):
        recompute.recompute_units([7], DAY, rules)

    assert not DueItem.objects.filter(unit_id=7).exists()
    assert DueItem.objects.count() == others > 0
