"""Rules that ask for serial numbers of aircraft and for positions are told them in every way."""

from __future__ import annotations

import pytest

from scheduling.models import DueItem
from tests import builders as build
from tests.scheduling import rules as on

pytestmark = pytest.mark.django_db


def two_aircraft():
    of_type = build.an_aircraft_type("D1L-SLIDE", "D1R-SLIDE")
    return [on.follows(build.an_aircraft(of_type=of_type, msn=msn)) for msn in ("1041", "1055")]


def slides_at(craft, code="D1L-SLIDE"):
    units = [build.a_unit(manufactured_on=build.day("2025-08-02")) for _ in craft]
    for unit, one in zip(units, craft, strict=True):
        build.installed(unit, build.at_position(one, code), "2026-03-03")
    return units


def test_a_rule_about_serial_numbers_of_aircraft_is_told_them_in_every_way():
    craft = two_aircraft()
    ours, _ = slides_at(craft)
    among = {"msns": [["1040", "1049"]]}
    rules = [
        on.a_rule("OVH", on.every(36, first_from="manufacture"), **among),
        on.girt_fittings(**among),
        on.lighting_test(**among),
    ]

    on.reckon()

    found = DueItem.objects.order_by("limit")
    assert {row.limit_id for row in found} == {rule.pk for rule in rules}
    assert {row.aircraft_id for row in found} == {craft[0].pk}
    assert found[0].unit_id == ours.pk
    assert {one.aircraft_id for one in on.on_another_day("2027-06-02")} == {craft[0].pk}


def test_a_rule_about_serial_numbers_of_aircraft_holds_in_one_record_too():
    first, other = two_aircraft()
    limit = on.a_rule("OVH", on.every(36, first_from="manufacture"), msns=["1041"])
    on.reckon()

    ours, theirs = slides_at([first, other])

    assert on.due(limit, unit=ours) == "2028-08-02"  # 36 months from 2 August 2025
    assert not on.is_item(limit, unit=theirs)

    build.removed(theirs, build.SHOP, "2027-05-01")
    build.removed(ours, build.SHOP, "2027-05-01")
    build.installed(theirs, build.at_position(first), "2027-05-02")

    assert not on.is_item(limit, unit=ours)
    assert on.due(limit, unit=theirs) == "2028-08-02"


def test_a_rule_about_positions_holds_in_one_record_and_in_the_run():
    craft = two_aircraft()
    limit = on.a_rule("OVH", on.every(36, first_from="manufacture"), positions=["D1R-SLIDE"])
    on.reckon()

    slides_at(craft)
    right = slides_at(craft, "D1R-SLIDE")

    at_once = set(DueItem.objects.filter(limit=limit).values_list("unit", flat=True))
    assert at_once == {unit.pk for unit in right}
    on.reckon()
    assert set(DueItem.objects.values_list("unit", flat=True)) == at_once
