"""With what a unit comes off follows from part numbers: where those change, what is kept changes with them."""

from __future__ import annotations

from datetime import timedelta

import pytest

from equipment.keeping.repair import check_whereabouts
from equipment.ledger.facts import IdentificationFact
from equipment.models import FittedPeriod
from equipment.units.acts.units import re_identify_units
from tests import builders as build

pytestmark = pytest.mark.django_db
LATER = build.NOW + timedelta(hours=1)


@pytest.fixture
def slide_with_bottle_and_light():
    """A slide on an aircraft, a bottle in it that comes off in the shop, a light in the bottle."""
    aircraft = build.an_aircraft()
    slide = build.a_unit(build.a_part("SL-1", "BOTTLE"))
    bottle = build.a_unit(build.a_part("BT-1", "LIGHT", removed="shop"))
    light = build.a_unit(build.a_part("LT-1", removed="shop"))
    build.installed(slide, build.at_position(aircraft), "2020-01-01")
    build.installed(bottle, build.inside(slide, "BOTTLE"), "2020-01-01")
    build.installed(light, build.inside(bottle, "LIGHT"), "2020-01-01")
    return slide, bottle, light


def comes_off_with(unit):
    return FittedPeriod.objects.get(unit=unit, to_at=None).line_unit_id


def test_a_part_number_that_comes_off_on_the_line_from_now_on(slide_with_bottle_and_light, bring):
    slide, bottle, light = slide_with_bottle_and_light
    assert comes_off_with(bottle) == comes_off_with(light) == slide.pk
    part = bottle.part_number
    head = ["Maker", "Part number", "Description", "Kind", "Removed"]
    line = [part.maker.code, part.number, part.description, part.kind.code, "on the line"]

    assert bring({"Part numbers": [head, line]}).is_applied

    assert list(check_whereabouts()) == []
    assert comes_off_with(bottle) == comes_off_with(light) == bottle.pk


def test_a_unit_identified_as_another_part(slide_with_bottle_and_light):
    slide, bottle, light = slide_with_bottle_and_light
    new = build.a_part("BT-2")  # comes off on the line
    row = IdentificationFact(bottle.pk, new.pk, build.day("2021-01-01"), "SB 25-1")

    re_identify_units(by=build.a_person(), rows=[row], at=LATER)

    assert list(check_whereabouts()) == []
    assert comes_off_with(light) == bottle.pk != slide.pk
