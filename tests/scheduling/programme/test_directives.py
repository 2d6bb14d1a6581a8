"""Directives on listed part and serial numbers: what is due before and after each disposition."""

from __future__ import annotations

import pytest

from equipment.ledger.facts import IdentificationFact
from equipment.units.acts.units import re_identify_units
from fleet.house.refusals import Refused
from scheduling.models import DueItem
from tests import builders as build
from tests.scheduling import rules as on

pytestmark = pytest.mark.django_db


@pytest.fixture
def part():
    return build.a_part("TW-720")


def listed_unit(part, serial="T4105", **more):
    return build.a_unit(part, serial_number=serial, **more)


def re_identified(unit, part, when):
    fact = IdentificationFact(unit.pk, part.pk, build.day(when), "TW-SB-720-3")
    re_identify_units(by=build.a_person("controller"), rows=[fact], at=build.NOW)


def until_modified(part, **more):
    """Within 90 days of 10 May 2027, then each 6 months."""
    return on.a_directive(
        "AD-27-03-A",
        on.once("days", 90, "2027-05-10"),
        on.again(6),
        parts=[part],
        serials=["B7", ["T4100", "T4119"]],
        **more,
    )


def one_time(part):
    return on.a_directive("AD-27-04", on.once("days", 90, "2027-05-10"), parts=[part])


# 90 days after 10 May 2027: 21 days to 31 May, 30 of June, 31 of July make 82; 8 more: 8 August.
FIRST = "2027-08-08"


def test_only_listed_part_and_serial_numbers_have_an_item(part):
    limit = until_modified(part)
    inside = [listed_unit(part, serial) for serial in ("T4100", "t4119 ", "B7")]
    for serial in ("T4099", "T4120", "B70", "U4105"):
        listed_unit(part, serial)
    listed_unit(build.a_part("TW-721"))

    on.reckon()

    found = DueItem.objects.filter(limit=limit)
    assert set(found.values_list("unit", flat=True)) == {unit.pk for unit in inside}
    assert {row.due_on.isoformat() for row in found} == {FIRST}


def test_a_unit_received_later_with_a_listed_serial_number_has_its_item_at_once(part):
    limit = until_modified(part)
    on.reckon()

    unit = listed_unit(part)
    build.moved(unit, "received", build.in_store(build.a_station()), "2027-05-30")

    assert on.due(limit, unit=unit) == FIRST


def test_a_unit_re_identified_out_of_the_list_loses_its_item(part):
    limit = until_modified(part)
    unit = listed_unit(part)
    on.reckon()

    re_identified(unit, build.a_part("TW-720-M"), "2027-05-20")

    assert not on.is_item(limit, unit=unit)
    assert limit.pk in {one.limit_id for one in on.on_another_day("2027-05-19")}


@pytest.mark.parametrize("sort", ["not_applicable", "terminated"])
def test_a_closed_case_has_no_item_from_its_day_on(part, sort):
    limit, unit, other = until_modified(part), listed_unit(part), listed_unit(part, "T4106")
    on.reckon()

    on.disposed(limit, unit, sort, "2027-05-20")

    assert not on.is_item(limit, unit=unit)
    assert on.due(limit, unit=other) == FIRST
    # The day before the case was open still.
    assert unit.pk in {one.unit_id for one in on.on_another_day("2027-05-19")}


def test_an_open_case_is_due_as_one_without_a_disposition(part):
    limit, unit = until_modified(part), listed_unit(part)
    on.reckon()

    on.disposed(limit, unit, "open", "2027-05-20", reason="")

    assert on.due(limit, unit=unit) == FIRST


def test_a_case_opened_again_is_due_again_by_its_first_date(part):
    limit, unit = until_modified(part), listed_unit(part)
    on.reckon()

    on.disposed(limit, unit, "not_applicable", "2027-05-20")
    on.disposed(limit, unit, "open", "2027-05-25", reason="Serial plate was misread.")

    assert on.due(limit, unit=unit) == FIRST


@pytest.mark.parametrize("sort", ["complied", "alternative"])
def test_a_case_complied_with_repeats_from_its_day(part, sort):
    limit, unit = until_modified(part), listed_unit(part)
    on.reckon()

    on.disposed(limit, unit, sort, "2027-05-20")

    # 20 May 2027 and six months: 20 November.
    assert on.due(limit, unit=unit) == "2027-11-20"


@pytest.mark.parametrize("sort", ["complied", "alternative"])
def test_a_case_complied_with_without_a_repeat_is_quiet(part, sort):
    limit, unit = one_time(part), listed_unit(part)
    on.reckon()
    assert on.due(limit, unit=unit) == FIRST

    on.disposed(limit, unit, sort, "2027-05-20")

    assert on.due(limit, unit=unit) is None
    assert limit.pk not in {one.limit_id for one in on.everything_stored()}


def test_the_work_recorded_later_than_the_compliance_is_what_repeats(part):
    limit, unit = until_modified(part), listed_unit(part)
    on.reckon()
    on.disposed(limit, unit, "complied", "2027-05-12")

    on.done("VALVECHK", "2027-05-28", unit_id=unit.pk)

    assert on.due(limit, unit=unit) == "2027-11-28"  # six months from the later of the two


def test_a_disposition_holds_under_the_next_revision_of_its_paragraph(part):
    limit, unit = until_modified(part), listed_unit(part)
    on.disposed(limit, unit, "complied", "2027-05-20")
    revised = until_modified(part, revision="2", from_on=build.day("2027-05-31"))

    on.reckon()

    assert not on.is_item(limit)
    assert on.due(revised, unit=unit) == "2027-11-20"


def test_the_disposition_of_one_paragraph_says_nothing_of_another(part):
    limit, unit, other = until_modified(part), listed_unit(part), one_time(part)
    on.reckon()

    on.disposed(limit, unit, "terminated", "2027-05-20")

    assert not on.is_item(limit)
    assert on.due(other, unit=unit) == FIRST


def test_another_disposition_of_the_same_day_is_refused_and_never_dropped(part):
    limit, unit = until_modified(part), listed_unit(part)
    on.disposed(limit, unit, "open", "2027-05-20", reason="Seen on receipt.")
    on.disposed(limit, unit, "open", "2027-05-20", reason="Seen on receipt.")

    with pytest.raises(Refused) as refused:
        on.disposed(limit, unit, "complied", "2027-05-20")

    assert refused.value.code == "disposition_recorded"


def test_a_closed_case_without_a_reason_is_refused(part):
    limit, unit = until_modified(part), listed_unit(part)
    on.reckon()

    with pytest.raises(Refused):
        on.disposed(limit, unit, "not_applicable", "2027-05-20", reason="")

    assert on.due(limit, unit=unit) == FIRST
