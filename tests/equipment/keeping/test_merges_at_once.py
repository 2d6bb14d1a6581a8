"""Several merges in one call, as a sheet brings them: they hold together, in whatever order they come."""

from __future__ import annotations

import pytest

from equipment.keeping.merge import merge_units
from equipment.keeping.repair import check_whereabouts
from equipment.ledger.facts import MergeFact, RowsRefused
from equipment.ledger.nesting import inside_now
from equipment.models import Unit
from tests import builders as build

pytestmark = pytest.mark.django_db


def joined(*pairs):
    rows = [MergeFact(kept.pk, absorbed.pk, "one plate, two entries") for kept, absorbed in pairs]
    return merge_units(by=build.a_person("controller"), rows=rows, at=build.NOW)


def why_not(*pairs):
    with pytest.raises(RowsRefused) as refused:
        joined(*pairs)
    return {row: [each.code for each in found] for row, found in refused.value.by_row.items()}


@pytest.fixture
def part(db):
    return build.a_part("", "LIGHT")


@pytest.fixture
def three(part):
    return [build.a_unit(part) for _ in range(3)]


def a_light_in(unit):
    light = build.a_unit()
    build.installed(light, build.inside(unit), "2027-03-01")
    return light


@pytest.mark.parametrize("order", [(0, 1), (1, 0)])
def test_a_unit_merged_into_one_that_is_merged_itself_is_the_last_one(three, order):
    kept, middle, last = three
    aircraft = build.an_aircraft()
    build.installed(last, build.at_position(aircraft), "2027-03-01")
    light = a_light_in(last)
    pairs = [(kept, middle), (middle, last)]

    joined(*(pairs[index] for index in order))

    into = Unit.objects.filter(pk__in=[each.pk for each in three]).order_by("pk")
    assert list(into.values_list("merged_into", flat=True)) == [None, kept.pk, kept.pk]
    assert Unit.objects.get(pk=kept.pk).aircraft == aircraft
    assert inside_now([kept.pk]) == {kept.pk: [kept.pk, light.pk]}
    assert list(check_whereabouts()) == []


def test_two_that_become_one_and_hold_something_in_the_same_position_are_told(three):
    kept, one, other = three
    for unit in (one, other):
        a_light_in(unit)

    assert why_not((kept, one), (kept, other)) == {1: ["both_hold_the_same_position"]}


def test_the_first_and_the_last_of_a_row_of_merges_are_told_too(three):
    kept, middle, last = three
    for unit in (kept, last):
        a_light_in(unit)

    assert why_not((kept, middle), (middle, last)) == {1: ["both_hold_the_same_position"]}


def test_merges_in_a_circle_are_refused(three):
    one, other, third = three

    assert why_not((one, other), (other, third), (third, one)) == {2: ["same_unit"]}


def test_the_same_call_again_changes_nothing(three):
    kept, middle, last = three
    pairs = [(kept, middle), (middle, last)]
    joined(*pairs)

    assert [each.is_new for each in joined(*pairs)] == [False, False]
