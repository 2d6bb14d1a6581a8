"""A cylinder whose specification has a period and that no limit covers (49 CFR 180.209(a) Table 1: 3AA 5 years at
5/3 of its service pressure; 3E no test): it says so wherever somebody would fill, issue or fit it."""

from __future__ import annotations

from uuid import uuid4

import pytest
import time_machine
from django.urls import reverse

from equipment.availability.acts.fillings import Use, record_filling
from equipment.models import CylinderDesign, CylinderSpecification, Unit
from equipment.segregation.facts import Asked, uses_of
from equipment.segregation.rule import asks_decision
from equipment.stores.acts.issues import issue_unit
from equipment.stores.reads.stock import StockAsked, stock
from equipment.units import labels
from fleet.house.refusals import Refused
from scheduling.answers.swaps import why_due
from scheduling.due.uncovered import uncovered, uncovered_in_all
from scheduling.entries.setting_up import steps_open
from scheduling.models import Limit, Programme
from tests import builders as build
from tests.equipment.availability.test_using import Need, need, reserve
from tests.equipment.line_world import signed_in
from tests.equipment.stores.world import AT, TODAY
from tests.published.test_bottles_in_service import a_limit
from tests.published.test_requalification import made_of

pytestmark = pytest.mark.django_db
__all__ = ["need"]
WORDS = "is a 3AA cylinder, and no limit of a programme covers its periodic test"


@pytest.fixture(autouse=True)
def noon():
    with time_machine.travel(AT, tick=False):
        yield


@pytest.fixture
def bare(need: Need, as_owner) -> Need:
    """A spare in the store that is a cylinder, made in March 2024; the programme has no limit of it."""
    with as_owner():
        made_of(need.unit, "3AA")
        Unit.objects.filter(pk=need.unit.pk).update(manufactured_on=build.day("2024-03-09"))
    return need


def covered_by_a_limit(need):
    programme = Programme.objects.get_or_create(
        code="NARROW-MP", defaults={"name": "MP", "revision": "1", "govern_spares": True}
    )[0]
    clock = {"counts_from": "manufacture", "rounds": "month_end", "runs_out": "until_emptied"}
    a_limit(programme, need.unit.part_number.kind, "HYDRO", "months", 60, **clock)


def code_of(act, *args, **more):
    with pytest.raises(Refused) as refused:
        act(*args, **more)
    return refused.value.code


def test_it_says_so_with_the_day_that_its_specification_would_give(bare):
    words = uncovered([bare.unit.pk], TODAY)[bare.unit.pk]

    assert WORDS in words
    # March 2024 + 60 months, good through its month (180.205(c)).
    assert "49 CFR 180.209 has 60 months" in words
    assert "Counted from its manufacture that would be 31 Mar 2029." in words


def test_a_limit_that_forbids_a_filling_covers_it(bare):
    covered_by_a_limit(bare)

    assert uncovered([bare.unit.pk], TODAY) == {}


def test_a_limit_of_another_sort_does_not(bare):
    programme = Programme.objects.create(
        code="NARROW-MP", name="MP", revision="1", govern_spares=True
    )
    a_limit(programme, bare.unit.part_number.kind, "WEIGH", "months", 12, counts_from="manufacture")

    assert bare.unit.pk in uncovered([bare.unit.pk], TODAY)


def test_a_specification_without_a_test_asks_for_no_limit(need, as_owner):
    # 180.209(a) Table 1: 3E and 4L, test not required.
    with as_owner():
        specification = CylinderSpecification.objects.create(
            code="3E", document="49 CFR 180.209", recorded_at=AT
        )
        CylinderDesign.objects.create(
            part_number=need.unit.part_number, specification=specification, service_psig=1800
        )

    assert uncovered_in_all(TODAY) == {}


def test_in_stock_it_is_not_available_and_its_label_does_not_say_serviceable(bare):
    row = next(row for row in stock(StockAsked(), on=TODAY, at=AT) if row.unit_id == bare.unit.pk)
    label = labels.unit_label(bare.unit.pk, on=TODAY, at=AT, is_demonstration=False)

    assert (row.state, row.is_available) == ("unknown", False)
    assert label.title == "Limit unknown"
    assert WORDS in dict(label.lines)["Why not"]


def test_it_is_issued_by_a_named_decision_only(bare):
    held = reserve(bare)
    by = build.a_person("stores")

    assert (
        code_of(issue_unit, by=by, reservation_id=held.pk, at=AT, to="R. Oake") == "limit_unknown"
    )
    issued = issue_unit(
        by=by,
        reservation_id=held.pk,
        at=AT,
        to="R. Oake",
        decision="T. Arden: limit is on its way.",
    )
    assert issued.issue_decision.startswith("T. Arden")


def test_it_is_not_filled(bare):
    covered = {"unit_id": bare.unit.pk, "use": Use(TODAY), "act_id": uuid4(), "at": AT}

    assert code_of(record_filling, by=build.a_person("technician"), **covered) == (
        "requalification_unknown"
    )


def test_it_stands_in_the_way_of_a_release(bare):
    [obstacle] = why_due(bare.unit.pk, TODAY)

    assert obstacle.code == "unit_without_basis"
    assert WORDS in obstacle.sentence


def test_inside_another_unit_it_counts_for_that(bare, as_owner):
    outer = build.a_unit(build.a_part("", "BOTTLE", kind=bare.unit.part_number.kind))
    build.moved(outer, "received", build.in_store(build.a_station()), "2027-03-01")
    build.installed(bare.unit, build.inside(outer, "BOTTLE"), "2027-04-01")

    [use] = uses_of([outer.pk], Asked(TODAY, AT)).values()

    assert [each.code for each in asks_decision(use)] == ["limit_unknown"]


def test_the_page_of_the_unit_and_what_comes_next_say_so(bare):
    page = signed_in(build.a_person("controller")).get(
        reverse("equipment:unit", args=[bare.unit.pk])
    )
    lacks = " ".join(words for step in steps_open() for words in step.lacks)

    assert "No limit covers it:" in page.content.decode()
    assert WORDS in page.content.decode()
    assert WORDS in lacks
    assert Limit.objects.count() == 0
