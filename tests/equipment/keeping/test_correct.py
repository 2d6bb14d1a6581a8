from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

import pytest

from equipment.keeping.correct import annul_movements, correct_movement, reconcile_movements
from equipment.ledger.facts import AnnulmentFact, MovementFact, RowsRefused
from equipment.ledger.fitted import fitted
from equipment.models import Correction, Movement, Stay
from fleet.house.refusals import Refused
from tests import builders as build

pytestmark = pytest.mark.django_db
LATER = build.NOW + timedelta(hours=1)
LATEST = build.NOW + timedelta(hours=2)


def serials(aircraft, when, known_at=None):
    return [row.serial_number for row in fitted(aircraft, build.instant(when), known_at)]


def corrected(movement_id, unit, sort, to, when, at=LATER):
    fact = MovementFact(unit.pk, sort, to, build.on(when))
    return correct_movement(
        by=build.a_person(),
        movement_id=movement_id,
        fact=fact,
        act_id=uuid4(),
        at=at,
        is_confirmed=True,
    )


def annulled(movement_id, at=LATER, act_id=None):
    row = AnnulmentFact(movement_id, "never happened", act_id or uuid4())
    return annul_movements(by=build.a_person(), rows=[row], at=at)


def test_a_wrong_day_is_set_right_and_what_was_said_before_stays_readable():
    aircraft, slide = build.an_aircraft(), build.a_unit()
    first = build.installed(slide, build.at_position(aircraft), "2027-03-03")

    corrected(first.movement_id, slide, "installed", build.at_position(aircraft), "2027-03-13")

    assert serials(aircraft, "2027-03-05") == []
    assert serials(aircraft, "2027-03-05", build.NOW) == [slide.serial_number]
    assert serials(aircraft, "2027-03-15") == [slide.serial_number]


def test_a_wrong_serial_is_set_right_for_both_units():
    aircraft, misread, fitted_one = build.an_aircraft(), build.a_unit(), build.a_unit()
    first = build.installed(misread, build.at_position(aircraft), "2027-03-03")

    corrected(first.movement_id, fitted_one, "installed", build.at_position(aircraft), "2027-03-03")

    misread.refresh_from_db()
    assert (serials(aircraft, "2027-03-05"), misread.place) == ([fitted_one.serial_number], None)


def test_a_correction_that_contradicts_is_kept_and_leaves_the_first_in_force():
    aircraft, slide, other = build.an_aircraft("L", "R"), build.a_unit(), build.a_unit()
    build.installed(other, build.at_position(aircraft, "R"), "2027-01-01")
    first = build.installed(slide, build.at_position(aircraft, "L"), "2027-03-03")

    done = corrected(
        first.movement_id, slide, "installed", build.at_position(aircraft, "R"), "2027-03-03"
    )

    slide.refresh_from_db()
    assert [reason.code for reason in done.reasons] == ["position_full"]
    assert slide.place_id == Movement.objects.get(pk=first.movement_id).to_place_id


def test_what_was_corrected_is_not_corrected_again_but_the_later_one_is():
    slide = build.a_unit()
    first = build.moved(slide, "sent", build.SHOP, "2027-03-03")
    second = corrected(first.movement_id, slide, "sent", build.SHOP, "2027-03-04")

    with pytest.raises(Refused) as refused:
        corrected(first.movement_id, slide, "sent", build.SHOP, "2027-03-05", at=LATEST)
    third = corrected(second.movement_id, slide, "sent", build.SHOP, "2027-03-05", at=LATEST)

    assert refused.value.code == "already_corrected"
    assert third.is_conforming
    assert Stay.objects.get(known__upper_inf=True).valid.lower == build.instant("2027-03-05")


def test_an_annulled_movement_never_happened_and_what_was_before_lasts_on():
    aircraft, slide, station = build.an_aircraft(), build.a_unit(), build.a_station()
    build.installed(slide, build.at_position(aircraft), "2027-03-03")
    off = build.removed(slide, build.in_store(station), "2027-04-03")

    annulled(off.movement_id)

    slide.refresh_from_db()
    assert slide.aircraft == aircraft


def test_the_same_annulment_again_gives_the_first_result():
    slide, act = build.a_unit(), uuid4()
    done = build.moved(slide, "sent", build.SHOP, "2027-03-03")
    (first,) = annulled(done.movement_id, act_id=act)

    (again,) = annulled(done.movement_id, act_id=act, at=LATEST)

    assert (again.id, again.is_new) == (first.id, False)
    assert Correction.objects.count() == 1


def test_an_annulment_that_would_put_two_in_one_position_is_refused_unless_both_go():
    aircraft, old, new = build.an_aircraft(), build.a_unit(), build.a_unit()
    build.installed(old, build.at_position(aircraft), "2027-03-03")
    off = build.removed(old, build.SHOP, "2027-04-03")
    on = build.installed(new, build.at_position(aircraft), "2027-04-03")

    with pytest.raises(RowsRefused) as refused:
        annulled(off.movement_id)
    rows = [
        AnnulmentFact(each.movement_id, "another aircraft's swap", uuid4()) for each in (off, on)
    ]
    annul_movements(by=build.a_person(), rows=rows, at=LATER)

    assert refused.value.code == "position_full"
    assert serials(aircraft, "2027-05-01") == [old.serial_number]


def test_an_annulled_movement_is_neither_annulled_nor_corrected_again():
    slide = build.a_unit()
    done = build.moved(slide, "sent", build.SHOP, "2027-03-03")
    annulled(done.movement_id)

    with pytest.raises(Refused) as again:
        annulled(done.movement_id, at=LATEST)
    with pytest.raises(Refused) as correction:
        corrected(done.movement_id, slide, "sent", build.SHOP, "2027-03-04", at=LATEST)

    assert (again.value.code, correction.value.code) == ("already_annulled", "already_annulled")


def test_what_did_not_conform_is_reconciled_when_the_missing_removal_is_known():
    aircraft, old, new = build.an_aircraft(), build.a_unit(), build.a_unit()
    build.installed(old, build.at_position(aircraft), "2027-03-03")
    kept = build.installed(new, build.at_position(aircraft), "2027-04-03")
    person = build.a_person()

    with pytest.raises(RowsRefused) as too_early:
        reconcile_movements(by=person, movement_ids=[kept.movement_id], act_id=uuid4(), at=LATER)
    build.removed(old, build.SHOP, "2027-04-03", at=LATER)
    (done,) = reconcile_movements(
        by=person, movement_ids=[kept.movement_id], act_id=uuid4(), at=LATEST
    )

    assert too_early.value.code == "position_full"
    assert done.is_conforming
    assert serials(aircraft, "2027-05-01") == [new.serial_number]
    assert not Movement.objects.nonconforming().exists()


@pytest.mark.parametrize("act", [corrected, annulled])
def test_an_unknown_movement_is_refused(act):
    more = () if act is annulled else (build.a_unit(), "sent", build.SHOP, "2027-03-03")

    with pytest.raises(Refused) as refused:
        act(10**9, *more)

    assert refused.value.code == "unknown_movement"


def test_only_the_controller_corrects():
    slide = build.a_unit()
    done = build.moved(slide, "sent", build.SHOP, "2027-03-03")
    row = AnnulmentFact(done.movement_id, "a slip", uuid4())

    with pytest.raises(Refused) as refused:
        annul_movements(by=build.a_person("technician"), rows=[row], at=LATER)

    assert refused.value.code == "not_permitted"
