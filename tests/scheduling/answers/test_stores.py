"""What scheduling answers the stores: what limits start from, and what else the shop should do."""

from __future__ import annotations

from uuid import uuid4

import pytest
import time_machine
from django.urls import reverse

from equipment.ledger.nesting import inside_now
from equipment.models import PartPosition
from equipment.stores.acts.shops import NewOrder, note_promise, send_to_shop
from equipment.stores.ports import limit_starts, nested_scope
from equipment.stores.reads.shop_loop import scope_of_order
from scheduling.answers.swaps import reckoned
from scheduling.due import due_list
from scheduling.due.lists.filters import DueFilters
from scheduling.models import (
    Amount,
    Clock,
    DueItem,
    Limit,
    Programme,
    ProgrammeOfAircraft,
    Work,
    WorkDone,
)
from scheduling.reckoning.bulk import recompute_all
from tests import builders as build
from tests.equipment.line_world import signed_in

pytestmark = pytest.mark.django_db
ON = build.day("2027-06-01")


def a_limit(programme, kind, code, months, counts_from="last_done"):
    work = Work.objects.create(code=code, name=code)
    limit = Limit.objects.create(
        programme=programme,
        code=f"L-{code}",
        revision="1",
        title=code,
        kind=kind,
        work=work,
        document="MP",
        document_revision="1",
        recorded_at=build.NOW,
    )
    clock = Clock.objects.create(
        limit=limit, seq=1, counts_from=counts_from, first_from="manufacture", measure="months"
    )
    Amount.objects.create(clock=clock, seq=1, value=months)


@pytest.fixture
def slide(db):
    """A slide with a light inside, made in 2026: overhaul each 36 months, the light's battery each 24."""
    slides, lights = build.a_kind("SLIDE"), build.a_kind("LIGHT")
    programme = Programme.objects.create(code="MP", name="MP", revision="1", govern_spares=True)
    ProgrammeOfAircraft.objects.create(
        aircraft=build.an_aircraft(),
        programme=programme,
        from_on=build.day("2020-01-01"),
        recorded_at=build.NOW,
    )
    a_limit(programme, slides, "OH", 36)
    a_limit(programme, lights, "BATTERY", 24)
    made = {"manufactured_on": build.day("2026-06-01")}
    outer = build.a_unit(build.a_part("", "LIGHT", kind=slides), **made)
    inner = build.a_unit(build.a_part(kind=lights), **made)
    build.moved(outer, "received", build.in_store(build.a_station()), "2026-07-01")
    PartPosition.objects.update(kind=lights)
    assert build.installed(inner, build.inside(outer), "2026-07-02").is_conforming
    return outer


def test_each_limit_says_what_it_starts_from(slide):
    [start] = limit_starts(slide.pk, ON)

    assert (start.limit, start.work, start.starts) == ("L-OH", "OH", "1 Jun 2026")
    assert "2029" in start.due


def test_the_scope_shows_nested_work_due_before_the_next_overhaul_and_keeps_nothing(slide):
    before = DueItem.objects.count()

    [nested] = nested_scope(slide.pk, ["OH"], ON)

    assert (nested.limit, nested.due_on) == ("L-BATTERY", build.day("2028-06-01"))
    assert nested.before_on == build.day("2030-06-01")
    assert not WorkDone.objects.exists()
    assert DueItem.objects.count() == before


def test_what_is_asked_for_already_is_no_further_scope(slide):
    assert nested_scope(slide.pk, ["OH", "BATTERY"], ON) == []


def test_what_the_works_asked_for_restart_as_well_is_no_further_scope(slide):
    """The overhaul of the slide restarts its weighing: it is done with it, and due on no other day."""
    programme, kind = Programme.objects.get(), slide.part_number.kind
    a_limit(programme, kind, "WEIGH", 12)
    limit = Limit.objects.get(code="L-WEIGH")
    assert [each.limit for each in nested_scope(slide.pk, ["OH"], ON)] == ["L-WEIGH", "L-BATTERY"]

    limit.resets.create(work=Work.objects.get(code="OH"))
    Programme.objects.update(facts_stamp=10**9)

    assert [each.limit for each in nested_scope(slide.pk, ["OH"], ON)] == ["L-BATTERY"]


def test_each_date_of_the_scope_is_the_one_on_record(slide):
    a_limit(Programme.objects.get(), slide.part_number.kind, "WEIGH", 12)

    found = {each.limit: each.due_on for each in nested_scope(slide.pk, ["OH"], ON)}

    for item in reckoned(inside_now([slide.pk])[slide.pk], ON):
        code = Limit.objects.get(pk=item.limit_id).code
        assert code == "L-OH" or found[code] == item.due_on


def at_the_shop(slide):
    order = NewOrder(
        slide.pk,
        "Lee Shore",
        "PO-1",
        build.a_station().pk,
        build.day("2027-05-20"),
        build.day("2027-07-15"),
        ("OH",),
    )
    by = build.a_person("stores")
    return send_to_shop(by=by, order=order, act_id=uuid4(), at=build.NOW, today=ON)


@time_machine.travel(build.NOW, tick=False)
def test_a_works_date_on_the_order_is_the_units_own_and_the_due_lists(slide):
    """The light's battery is due on 1 Jun 2028 by today's rule; a revision from July on brings it to 18 months."""
    battery = Limit.objects.get(code="L-BATTERY")
    later = Limit.objects.create(
        programme=battery.programme,
        code=battery.code,
        revision="2",
        title=battery.title,
        kind=battery.kind,
        work=battery.work,
        document="MP",
        document_revision="2",
        from_on=build.day("2027-07-01"),
        recorded_at=build.NOW,
    )
    clock = Clock.objects.create(
        limit=later, seq=1, counts_from="last_done", first_from="manufacture", measure="months"
    )
    Amount.objects.create(clock=clock, seq=1, value=18)
    recompute_all(as_of=ON, now=build.NOW)
    order = at_the_shop(slide)
    [inner] = [unit for unit in inside_now([slide.pk])[slide.pk] if unit != slide.pk]
    clerk = signed_in(build.a_person("stores"))

    [on_list] = due_list.due_rows(filters=DueFilters(unit_id=inner), as_of=ON)
    [on_order] = scope_of_order(order)
    unit_page = clerk.get(reverse("equipment:unit", args=[inner])).content.decode()
    order_page = clerk.get(reverse("equipment:stores_order", args=[order.pk])).content.decode()

    assert on_list.due_on == on_order.due_on == build.day("2027-12-01")
    assert "1 Dec 2027" in unit_page
    assert "BATTERY, due 1 Dec 2027 (L-BATTERY)" in order_page


@time_machine.travel(build.NOW, tick=False)
def test_a_later_promise_brings_more_into_the_scope(slide):
    """Overhauled on 15 Jul 2027 the slide is due on 15 Jul 2030, on 1 Sep 2027 on 1 Sep 2030: after 1 Aug 2030."""
    a_limit(Programme.objects.get(), slide.part_number.kind, "HOSE", 50)
    order = at_the_shop(slide)
    before = [each.limit for each in scope_of_order(order)]

    note_promise(
        by=build.a_person("stores"),
        order_id=order.pk,
        promised_on=build.day("2027-09-01"),
        words="A part is late.",
        act_id=uuid4(),
        at=build.NOW,
        today=ON,
    )

    assert before == ["L-BATTERY"]
    assert [each.limit for each in scope_of_order(order)] == ["L-BATTERY", "L-HOSE"]
