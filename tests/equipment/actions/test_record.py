from __future__ import annotations

from uuid import uuid4

import pytest

from equipment.models import FittedPeriod, Movement, Stay
from tests import builders as build

pytestmark = pytest.mark.django_db


def codes(recorded):
    return [reason.code for reason in recorded.reasons]


def now_at(unit):
    unit.refresh_from_db()
    return unit.place.sort if unit.place else None


def test_an_installed_unit_is_at_its_position():
    aircraft, slide = build.an_aircraft("D1L-SLIDE"), build.a_unit()

    done = build.installed(slide, build.at_position(aircraft), "2027-03-03")

    assert done.is_conforming
    assert now_at(slide) == "aircraft"
    assert slide.aircraft == aircraft
    assert FittedPeriod.objects.get().unit == slide


def test_the_same_act_again_gives_the_first_result():
    aircraft, slide, act = build.an_aircraft("D1L-SLIDE"), build.a_unit(), uuid4()
    first = build.installed(slide, build.at_position(aircraft), "2027-03-03", act_id=act)

    again = build.installed(slide, build.at_position(aircraft), "2027-03-03", act_id=act)

    assert (first.is_new, again.is_new) == (True, False)
    assert again.movement_id == first.movement_id
    assert Movement.objects.count() == 1


def test_what_is_inside_travels_along():
    aircraft = build.an_aircraft("D1L-SLIDE")
    slide = build.a_unit(build.a_part("", "LIGHT"))
    light = build.a_unit()
    build.installed(light, build.inside(slide), "2027-01-01")
    build.installed(slide, build.at_position(aircraft), "2027-03-03")

    light.refresh_from_db()

    assert light.aircraft == aircraft
    period = FittedPeriod.objects.get(unit=light)
    assert (period.depth, period.line_unit, period.from_at) == (
        1,
        light,
        build.instant("2027-03-03"),
    )


def test_a_full_position_is_kept_as_not_conforming():
    aircraft, old, new = build.an_aircraft("D1L-SLIDE"), build.a_unit(), build.a_unit()
    build.installed(old, build.at_position(aircraft), "2027-03-03")

    done = build.installed(new, build.at_position(aircraft), "2027-04-01")

    assert codes(done) == ["position_full"]
    assert old.serial_number in done.reasons[0].message
    assert "since 3 Mar 2027" in done.reasons[0].message
    assert not Stay.objects.filter(unit=new).exists()
