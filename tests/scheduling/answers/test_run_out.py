"""Of a whole stock only what the stored list does not clear is reckoned anew; the answer is the same."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from equipment.models import Unit
from scheduling.answers import stores
from scheduling.models import DueItem, Limit, Programme
from scheduling.reckoning.bulk import recompute_all
from tests import builders as build
from tests.scheduling import rules

pytestmark = pytest.mark.django_db
ON = date(2027, 6, 1)


@pytest.fixture
def stock(a_stock, db):
    return [*a_stock]


@pytest.fixture(scope="module")
def a_stock(one_stage):
    """Sixty slides in the store, made a month apart: those made before June 2024 have run out."""
    kind, station = build.a_kind("SLIDE"), build.a_station()
    runs = rules.every(36, first_from="manufacture")
    rules.a_rule("OVH", runs, work="OVERHAUL", kind=kind)
    Programme.objects.update(govern_spares=True)
    part = build.a_part(kind=kind)
    units = []
    for month in range(60):
        made = date(2020 + (month + 5) // 12, (month + 5) % 12 + 1, 15)
        unit = build.a_unit(part, manufactured_on=made)
        build.moved(unit, "received", build.in_store(station), "2026-03-01")
        units.append(unit.pk)
    recompute_all(as_of=ON, now=timezone.now())
    return units


def reckoned_all(units, on, monkeypatch):
    with monkeypatch.context() as every:
        every.setattr(stores, "FEW", len(units))
        return stores.run_out({unit: [unit] for unit in units}, on)


def narrowed(units, on):
    return stores.run_out({unit: [unit] for unit in units}, on)


def test_the_answer_is_that_of_reckoning_every_unit(stock, monkeypatch):
    found = narrowed(stock, ON)

    assert found == reckoned_all(stock, ON, monkeypatch)
    made = Unit.objects.filter(pk__in=found).values_list("manufactured_on", flat=True)
    assert len(found) == 48
    assert max(made) == date(2024, 5, 15)


def test_only_what_is_not_cleared_is_reckoned(stock, monkeypatch):
    asked = []
    whole = stores.reckoned
    monkeypatch.setattr(
        stores, "reckoned", lambda units, on: asked.append(units) or whole(units, on)
    )

    found = narrowed(stock, ON)

    assert asked == [sorted(found)]


@pytest.mark.parametrize("day", [ON - timedelta(days=400), ON + timedelta(days=400)])
def test_for_another_day_every_unit_is_reckoned(stock, monkeypatch, day):
    assert narrowed(stock, day) == reckoned_all(stock, day, monkeypatch)


def test_what_changed_since_is_reckoned_anew(stock, monkeypatch):
    """As after a record whose reckoning failed: the facts are newer than the item says."""
    good = Unit.objects.get(pk=stock[-1])
    later = {"manufactured_on": date(2020, 1, 1), "facts_stamp": good.facts_stamp + 1}
    Unit.objects.filter(pk=good.pk).update(**later)
    assert DueItem.objects.stale().filter(unit=good).exists()

    found = narrowed(stock, ON)

    assert good.pk in found
    assert found == reckoned_all(stock, ON, monkeypatch)


def test_what_was_never_reckoned_is(stock, monkeypatch):
    DueItem.objects.filter(unit=stock[0]).delete()

    assert stock[0] in narrowed(stock, ON)


def test_a_limit_revised_since_makes_all_of_its_programme_doubtful(stock, monkeypatch):
    before = narrowed(stock, ON)

    Limit.objects.filter(code="OVH").update(until_on=date(2020, 1, 1))

    assert narrowed(stock, ON) == reckoned_all(stock, ON, monkeypatch) != before


def test_it_asks_one_question_more_however_many_units(stock):
    with CaptureQueriesContext(
        connection,
    ) as few:
        narrowed(stock[:41], ON)
    with CaptureQueriesContext(connection) as many:
        narrowed(stock, ON)

    assert len(many) == len(few)
