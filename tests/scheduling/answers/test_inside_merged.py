"""What is due on, and known of, what is inside a unit whose record was merged into another."""

from __future__ import annotations

from datetime import date

import pytest

from equipment.models import SwapEnd
from equipment.stores.ports import nested_scope
from fleet.house.refusals import Refused
from scheduling.answers import swaps as due_of_swaps
from scheduling.due.lists.names import names_of
from scheduling.facts.in_store import in_store
from scheduling.facts.units import UnitSelection
from scheduling.matching.telling.why_not import why_not
from tests import builders as build
from tests import builders_swaps as swaps
from tests.nests import a_nest
from tests.scheduling import rules
from tests.scheduling.allocation import world as here

pytestmark = pytest.mark.django_db
MADE = date(2025, 7, 20)


def a_job():
    """A swap on an aircraft that follows the programme."""
    job = swaps.a_job(swaps.SHORT)
    rules.follows(job.aircraft)
    return job


def cells_last(months, **more):
    kind = build.a_kind("CELL")
    return rules.a_rule(
        "CELL-LIFE", rules.every(months, first_from="manufacture", **more), kind=kind
    )


def test_what_has_run_out_at_any_depth_of_the_unit_that_went_on_stops_the_release():
    job = a_job()
    nest = a_nest(job.new, made_on=MADE)
    cells_last(12)
    job.do_all()

    with pytest.raises(Refused) as told:
        job.release()

    assert [each.code for each in told.value.refusals] == ["unit_expired"]
    assert nest.cell.serial_number in str(told.value)


def test_the_life_of_what_is_inside_the_unit_that_came_off_is_told():
    job = a_job()
    nest, _ = (a_nest(unit, made_on=MADE) for unit in (job.old, job.new))
    cells_last(60, runs_out="end_of_life")
    job.do_all()

    job.release()

    told = SwapEnd.objects.get(swap=job.swap).dispositions
    assert [each["serial"] for each in told] == [nest.cell.serial_number]


@pytest.mark.parametrize("record", ["slide", "twin"])
def test_a_work_is_asked_of_what_is_inside_whichever_record_is_named(record):
    job = a_job()
    nest = a_nest(job.new, made_on=MADE)
    cells_last(60)

    found = due_of_swaps.subjects_of_works(getattr(nest, record).pk, ["INSPECT"], rules.DAY)

    assert [unit for unit, _, _ in found] == [nest.cell.pk]


def test_the_shop_is_told_what_falls_due_inside():
    job = a_job()
    nest = a_nest(job.new, made_on=MADE)
    cells_last(60)

    found = nested_scope(nest.slide.pk, ["OVERHAUL"], rules.DAY)

    assert [each.unit_id for each in found] == [nest.cell.pk]


def test_what_is_inside_a_merged_spare_travels_with_it_and_ends_its_life():
    world = here.a_world(planes=1)
    spare, without = (world.a_spare(world.outstation) for _ in range(2))
    a_nest(spare, made_on=MADE, dangerous_goods="compressed gas")
    here.a_way(world.outstation, world.base)
    cells_last(30)

    found = world.gathered()

    [need] = found.facts.needs
    told = [found.supplies[str(unit.pk)].supply for unit in (spare, without)]
    codes = [{one.code for one in why_not(need, supply, found.facts)} for supply in told]
    assert [supply.lasts_until for supply in told] == [date(2028, 1, 20), date(2030, 1, 10)]
    assert codes == [{"dangerous_goods_late"}, {"needs_decision"}]


def test_time_in_store_of_a_merged_unit_is_time_in_store_of_all_inside_it():
    job = a_job()
    nest = a_nest(job.new)

    found = in_store(UnitSelection(ids=(nest.cell.pk,)), rules.DAY)

    assert found["unit"].tolist() == [nest.cell.pk]


def test_a_due_item_says_the_whole_way_to_what_is_inside():
    job = a_job()
    nest = a_nest(job.old, made_on=MADE)
    limit = cells_last(60)
    rules.reckon()

    names = names_of([rules.item(limit, unit=nest.cell)])

    assert names.inside[nest.cell.pk] == ["BOTTLE", "CELL"]
