"""A swap is a removal and an installation at one position, in one call: every way it comes about."""

from __future__ import annotations

from uuid import uuid4

import pytest

from equipment.keeping.correct import annul_movements, correct_movement
from equipment.keeping.record import record_movements
from equipment.keeping.repair import check_whereabouts
from equipment.ledger.facts import AnnulmentFact, MovementFact
from equipment.ledger.fitted import fitted
from equipment.models import FittedPeriod, Movement, Stay
from tests import builders as build

pytestmark = pytest.mark.django_db
STRICTLY = pytest.mark.parametrize("is_strict", [False, True], ids=["kept", "strict"])


def off(unit, when, to=build.SHOP, **more):
    return MovementFact(unit.pk, "removed", to, build.on(when), **more)


def onto(unit, to, when, **more):
    return MovementFact(unit.pk, "installed", to, build.on(when), **more)


def recorded(*rows, is_strict=False):
    """The movements' keys; all conform, and what is derived is what the ledger says."""
    done = record_movements(
        by=build.a_person(), rows=rows, act_id=uuid4(), at=build.NOW, is_strict=is_strict
    )
    assert [each.reasons for each in done] == [()] * len(rows)
    assert list(check_whereabouts()) == []
    return [each.movement_id for each in done]


def held(to_aircraft, when):
    """Which units were fitted at that instant."""
    return {row.unit_id for row in fitted(to_aircraft, build.instant(when))}


def periods(unit):
    found = FittedPeriod.objects.filter(unit=unit).order_by("from_at")
    return [(p.from_at.isoformat()[5:16], p.to_at and p.to_at.isoformat()[5:16]) for p in found]


def a_fitted_slide(when="2027-03-01 08:00"):
    """(aircraft, its position, the slide there, one to put there)."""
    aircraft, old, new = build.an_aircraft(), build.a_unit(), build.a_unit()
    to = build.at_position(aircraft)
    build.installed(old, to, when)
    return aircraft, to, old, new


@STRICTLY
@pytest.mark.parametrize("is_removal_first", [True, False])
def test_a_swap_within_one_minute_needs_no_order_of_its_rows(is_strict, is_removal_first):
    aircraft, to, old, new = a_fitted_slide()
    rows = [off(old, "2027-04-03 14:05"), onto(new, to, "2027-04-03 14:05")]

    recorded(*(rows if is_removal_first else rows[::-1]), is_strict=is_strict)

    assert held(aircraft, "2027-04-03 14:04") == {old.pk}
    assert held(aircraft, "2027-04-03 14:05") == {new.pk}


@STRICTLY
def test_a_swap_with_an_hour_between_leaves_the_position_empty_for_it(is_strict):
    aircraft, to, old, new = a_fitted_slide()

    recorded(onto(new, to, "2027-04-03 15:05"), off(old, "2027-04-03 14:05"), is_strict=is_strict)

    assert held(aircraft, "2027-04-03 14:30") == set()
    assert held(aircraft, "2027-04-03 15:05") == {new.pk}


@STRICTLY
def test_the_order_of_the_day_tells_what_the_minute_does_not(is_strict):
    aircraft, to, old, _ = a_fitted_slide()
    day = "2027-04-03"
    rows = [
        onto(old, to, day, day_order=3, act_id=uuid4()),
        off(old, day, day_order=1, act_id=uuid4()),
        MovementFact(old.pk, "sent", build.SHOP, build.on(day), day_order=2, act_id=uuid4()),
    ]

    recorded(*rows, is_strict=is_strict)

    assert held(aircraft, "2027-04-03 00:00") == {old.pk}


@STRICTLY
def test_the_same_unit_comes_off_and_goes_on_again(is_strict):
    _, to, slide, _ = a_fitted_slide()

    recorded(
        off(slide, "2027-04-05 09:00", act_id=uuid4()),
        onto(slide, to, "2027-04-09 17:30", act_id=uuid4()),
        is_strict=is_strict,
    )

    assert periods(slide) == [("03-01T08:00", "04-05T09:00"), ("04-09T17:30", None)]


@STRICTLY
def test_a_robbery_takes_a_unit_from_one_aircraft_to_another_in_one_call(is_strict):
    robbed, _, slide, _ = a_fitted_slide()
    other, to, broken, _ = a_fitted_slide()
    station = build.a_station()

    recorded(
        onto(slide, to, "2027-04-03 11:00", act_id=uuid4()),
        off(slide, "2027-04-03 10:00", build.in_store(station), act_id=uuid4()),
        off(broken, "2027-04-03 10:30", act_id=uuid4()),
        is_strict=is_strict,
    )

    assert held(robbed, "2027-04-04 00:00") == set()
    assert held(other, "2027-04-04 00:00") == {slide.pk}


@STRICTLY
@pytest.mark.parametrize("lies_in", ["shop", "store"])
def test_a_light_is_changed_inside_a_slide_that_is_not_on_an_aircraft(lies_in, is_strict):
    slide, old, new = build.a_unit(build.a_part("", "LIGHT")), build.a_unit(), build.a_unit()
    build.installed(old, build.inside(slide), "2027-01-01")
    aircraft = build.an_aircraft()
    build.installed(slide, build.at_position(aircraft), "2027-02-01")
    where = build.SHOP if lies_in == "shop" else build.in_store(build.a_station())
    build.removed(slide, where, "2027-03-01")

    recorded(
        off(old, "2027-03-05 10:00", where),
        onto(new, build.inside(slide), "2027-03-05 10:00"),
        is_strict=is_strict,
    )
    recorded(onto(slide, build.at_position(aircraft), "2027-03-09"), is_strict=is_strict)

    assert held(aircraft, "2027-02-02 00:00") == {slide.pk, old.pk}
    assert held(aircraft, "2027-03-09 00:00") == {slide.pk, new.pk}
    assert periods(new) == [("03-09T00:00", None)]


@STRICTLY
def test_a_swap_told_late_falls_between_two_periods(is_strict):
    aircraft, to, first, second = a_fitted_slide()
    last = build.a_unit()
    recorded(off(first, "2027-05-01 09:00"), onto(last, to, "2027-05-01 09:30"))
    station = build.a_station()

    recorded(
        off(first, "2027-04-01 09:00", build.in_store(station), act_id=uuid4()),
        onto(second, to, "2027-04-01 10:00", act_id=uuid4()),
        off(second, "2027-04-20 08:00", act_id=uuid4()),
        onto(first, to, "2027-04-20 09:00", act_id=uuid4()),
        is_strict=is_strict,
    )

    assert periods(first) == [("03-01T08:00", "04-01T09:00"), ("04-20T09:00", "05-01T09:00")]
    assert periods(second) == [("04-01T10:00", "04-20T08:00")]
    assert held(aircraft, "2027-05-02 00:00") == {last.pk}


def test_a_swap_told_late_that_leaves_two_in_one_position_is_kept_and_moves_nothing():
    aircraft, to, first, second = a_fitted_slide()
    rows = [onto(second, to, "2027-04-01 10:00")]

    (done,) = record_movements(by=build.a_person(), rows=rows, act_id=uuid4(), at=build.NOW)

    assert [reason.code for reason in done.reasons] == ["position_full"]
    assert held(aircraft, "2027-04-02 00:00") == {first.pk}


def test_a_corrected_swap_has_another_hour_and_another_unit():
    aircraft, to, old, wrong = a_fitted_slide()
    right, person = build.a_unit(), build.a_person()
    removal, installation = recorded(
        off(old, "2027-04-03 14:05"), onto(wrong, to, "2027-04-03 14:05")
    )

    corrections = [
        (removal, off(old, "2027-04-03 13:00")),
        (installation, onto(right, to, "2027-04-03 13:00")),
    ]
    done = [
        correct_movement(by=person, movement_id=key, fact=fact, act_id=uuid4(), at=build.NOW)
        for key, fact in corrections
    ]

    assert all(each.is_conforming for each in done)
    assert (held(aircraft, "2027-04-03 12:59"), held(aircraft, "2027-04-03 13:00")) == (
        {old.pk},
        {right.pk},
    )
    assert not Stay.objects.filter(unit=wrong, known__upper_inf=True).exists()
    assert list(check_whereabouts()) == []


def test_a_swap_annulled_as_one_leaves_what_was():
    aircraft, to, old, new = a_fitted_slide()
    before = periods(old)
    keys = recorded(off(old, "2027-04-03 14:05"), onto(new, to, "2027-04-03 14:05"))

    rows = [AnnulmentFact(key, "another aircraft's page", uuid4()) for key in keys]
    annul_movements(by=build.a_person(), rows=rows, at=build.NOW)

    assert held(aircraft, "2027-05-01 00:00") == {old.pk}
    assert (periods(old), periods(new)) == (before, [])
    new.refresh_from_db()
    assert new.place is None
    assert Movement.objects.count() == 3
    assert list(check_whereabouts()) == []
