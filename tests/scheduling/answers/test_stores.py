"""What scheduling answers the stores: what limits start from, and what else the shop should do."""

from __future__ import annotations

import pytest

from equipment.ledger.nesting import inside_now
from equipment.models import PartPosition
from equipment.stores.ports import limit_starts, nested_scope
from scheduling.answers.swaps import reckoned
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
from tests import builders as build

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
