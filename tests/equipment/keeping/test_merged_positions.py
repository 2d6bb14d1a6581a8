"""A position inside a unit is one position, whichever record of the unit it was first used under."""

from __future__ import annotations

from uuid import uuid4

import pytest

from equipment.keeping.correct import annul_movements
from equipment.keeping.record import record_movements
from equipment.ledger.facts import AnnulmentFact, MovementFact, RowsRefused
from equipment.models import Place
from equipment.swaps.acts import NewSwap, open_swap
from tests import builders as build
from tests import builders_swaps as swaps
from tests.nests import a_nest, merged

pytestmark = pytest.mark.django_db


@pytest.fixture
def nest(db):
    slide = build.a_unit()
    build.installed(slide, build.at_position(build.an_aircraft()), "2027-03-01")
    return a_nest(slide)


@pytest.fixture
def part(db):
    return build.a_part("", "LIGHT")


def codes(done):
    return [each.code for each in done.reasons]


def test_what_the_record_merged_away_holds_fills_the_position_of_the_kept_one(nest):
    other = build.a_unit(nest.bottle.part_number)

    done = build.installed(other, build.inside(nest.slide, "BOTTLE"), "2027-04-01")

    assert (codes(done), done.is_conforming) == (["position_full"], False)


def test_a_swap_at_the_position_of_the_kept_unit_finds_what_is_there(nest):
    swaps.a_rule_set()
    swaps.a_step_list(build.a_kind("BOTTLE"), swaps.SHORT)
    new = NewSwap(
        place=build.inside(nest.slide, "BOTTLE"), station_id=build.a_station().pk, reason="due"
    )

    swap = open_swap(by=swaps.a_technician(), new=new, act_id=uuid4(), at=build.NOW)

    assert (swap.expected_off, swap.place_id) == (nest.bottle, nest.bottle.place_id)


def test_no_second_place_is_made_for_one_position(nest):
    before = Place.objects.count()
    build.removed(nest.bottle, build.in_store(build.a_station()), "2027-04-01")

    done = build.installed(nest.bottle, build.inside(nest.slide, "BOTTLE"), "2027-04-02")

    assert done.is_conforming
    assert Place.objects.filter(sort="inside").count() == 2
    assert Place.objects.count() == before + 1  # the store


def two_records_of_one(part):
    """A light each: the kept one's until February, the other one's from March on."""
    kept, absorbed = build.a_unit(part), build.a_unit(part)
    first, second = build.a_unit(), build.a_unit()
    build.installed(first, build.inside(kept), "2027-01-01")
    build.removed(first, build.in_store(build.a_station()), "2027-02-01")
    build.installed(second, build.inside(absorbed), "2027-03-01")
    merged(kept, absorbed)
    return kept, absorbed, first


@pytest.mark.parametrize("when", ["2027-01-15", "2027-03-15"])
@pytest.mark.parametrize("which", [0, 1])
def test_of_two_places_used_before_the_merge_each_is_full_by_what_is_in_the_other(
    part, when, which
):
    named = two_records_of_one(part)[which]

    done = build.installed(build.a_unit(), build.inside(named), when)

    assert codes(done) == ["position_full"]


def test_between_what_was_in_the_two_places_there_is_room(part):
    kept, _, _ = two_records_of_one(part)
    light, store = build.a_unit(), build.in_store(build.a_station())
    rows = [
        MovementFact(
            light.pk, "installed", build.inside(kept), build.on("2027-02-02"), act_id=uuid4()
        ),
        MovementFact(light.pk, "removed", store, build.on("2027-02-20"), act_id=uuid4()),
    ]

    done = record_movements(by=build.a_person(), rows=rows, act_id=uuid4(), at=build.NOW)

    assert [each.reasons for each in done] == [(), ()]


def test_a_removal_is_not_taken_back_where_another_record_s_place_was_filled_since(part):
    *_, first = two_records_of_one(part)
    removal = first.movements.get(sort="removed")

    with pytest.raises(RowsRefused) as refused:
        annul_movements(
            by=build.a_person("controller"),
            rows=[AnnulmentFact(removal.pk, "a slip", uuid4())],
            at=build.NOW,
        )

    assert refused.value.code == "position_full"
