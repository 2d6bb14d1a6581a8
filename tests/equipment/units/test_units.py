from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

import pytest
import time_machine
from django.urls import reverse

from equipment.keeping.merge import merge_units
from equipment.ledger.facts import IdentificationFact, MergeFact, PlaceAt, RowsRefused, UnitFact
from equipment.ledger.fitted import fitted
from equipment.models import FittedPeriod, Movement, Unit
from equipment.units.acts.lots import split_lot
from equipment.units.acts.units import enter_units, re_identify_units
from fleet.house.refusals import Refused
from tests import builders as build

pytestmark = pytest.mark.django_db
LATER = build.NOW + timedelta(hours=1)


def identified(unit, part, when, at=LATER):
    row = IdentificationFact(unit.pk, part.pk, build.day(when), "SB 25-1")
    return re_identify_units(by=build.a_person(), rows=[row], at=at)


def merged(kept, absorbed, at=LATER):
    return merge_units(
        by=build.a_person(), rows=[MergeFact(kept.pk, absorbed.pk, "one plate")], at=at
    )


def test_a_unit_on_record_is_left_as_it_is():
    slide, person = build.a_unit(), build.a_person()
    fact = UnitFact(slide.original_part_id, slide.serial_number, note="again")

    (again,) = enter_units(by=person, rows=[fact], at=LATER)

    assert (again.id, again.is_new) == (slide.pk, False)
    assert Unit.objects.get().note == ""


def test_the_same_serial_under_another_part_is_another_unit():
    one = build.a_unit(serial_number="A1")
    other = build.a_unit(serial_number="A1")

    assert one.pk != other.pk


def test_a_unit_without_a_serial_number_is_refused():
    fact = UnitFact(build.a_part().pk, " ")

    with pytest.raises(RowsRefused) as refused:
        enter_units(by=build.a_person(), rows=[fact], at=LATER)

    assert refused.value.code == "serial_number_missing"


def test_a_re_identified_unit_was_what_it_was_then():
    aircraft, old, new = build.an_aircraft(), build.a_part("HS-1"), build.a_part("HS-1-3")
    slide = build.a_unit(old)
    build.installed(slide, build.at_position(aircraft), "2027-01-01")

    identified(slide, new, "2027-03-03")

    numbers = [
        fitted(aircraft, build.instant(when), known)[0].part_number
        for when, known in [("2027-02-01", None), ("2027-04-01", None), ("2027-04-01", build.NOW)]
    ]
    slide.refresh_from_db()
    assert numbers == ["HS-1", "HS-1-3", "HS-1"]
    assert slide.part_number == new


def test_a_unit_is_one_thing_from_a_day():
    slide, new, other = build.a_unit(), build.a_part(), build.a_part()
    (first,) = identified(slide, new, "2027-03-03")
    (again,) = identified(slide, new, "2027-03-03")

    with pytest.raises(RowsRefused) as refused:
        identified(slide, other, "2027-03-03")

    assert (first.id, again.is_new) == (again.id, False)
    assert refused.value.code == "identified_already"


def test_of_two_units_that_are_one_the_movements_are_the_kept_ones():
    aircraft, kept, absorbed = build.an_aircraft(), build.a_unit(), build.a_unit()
    build.installed(kept, build.at_position(aircraft), "2027-01-01")
    build.moved(absorbed, "sent", build.SHOP, "2027-04-01")

    merged(kept, absorbed)

    kept.refresh_from_db()
    absorbed.refresh_from_db()
    assert (kept.place.sort, kept.aircraft, absorbed.place) == ("shop", None, None)
    assert [m.unit_id for m in Movement.objects.of_unit(kept)] == [kept.pk, absorbed.pk]
    assert FittedPeriod.objects.get().to_at == build.instant("2027-04-01")
    assert [row.unit_id for row in fitted(aircraft, build.instant("2027-05-01"), build.NOW)] == [
        kept.pk
    ]
    assert fitted(aircraft, build.instant("2027-05-01")) == []


def test_what_is_recorded_of_the_absorbed_one_later_is_recorded_of_the_kept_one():
    kept, absorbed = build.a_unit(), build.a_unit()
    merged(kept, absorbed)

    done = build.moved(absorbed, "sent", build.SHOP, "2027-04-01", at=LATER)

    assert done.unit_id == kept.pk


def test_merging_again_changes_nothing():
    kept, absorbed = build.a_unit(), build.a_unit()
    (first,) = merged(kept, absorbed)

    (again,) = merged(kept, absorbed)

    assert (again.id, again.is_new) == (first.id, False)


def test_one_inside_the_other_is_not_the_other():
    outer, inner = build.a_unit(build.a_part("", "LIGHT")), build.a_unit(build.a_part("", "LIGHT"))
    build.installed(inner, build.inside(outer), "2027-03-03")

    with pytest.raises(RowsRefused) as refused:
        merged(outer, inner)

    assert refused.value.code == "inside_itself"


def test_two_that_hold_something_in_the_same_position_are_told_to_say_which():
    part = build.a_part("", "LIGHT")
    kept, absorbed = build.a_unit(part), build.a_unit(part)
    build.installed(build.a_unit(), build.inside(kept), "2027-03-03")
    build.installed(build.a_unit(), build.inside(absorbed), "2027-03-03")

    with pytest.raises(RowsRefused) as refused:
        merged(kept, absorbed)

    assert refused.value.code == "both_hold_the_same_position"


def test_a_unit_is_absorbed_once():
    kept, absorbed, third = build.a_unit(), build.a_unit(), build.a_unit()
    merged(kept, absorbed)

    with pytest.raises(RowsRefused) as refused:
        merged(third, absorbed)

    assert refused.value.code == "merged_already"


def split(lot, quantity, when="2027-04-01", act_id=None, serial="B2"):
    return split_lot(
        by=build.a_person(),
        unit_id=lot.pk,
        quantity=quantity,
        serial_number=serial,
        when=build.on(when),
        act_id=act_id or uuid4(),
        at=LATER,
    )


def a_bin_of_vests():
    aircraft = build.an_aircraft("BIN", capacity=6)
    lot = build.a_unit(
        build.a_part(is_lot=True), quantity=6, manufactured_on=build.day("2025-02-01")
    )
    build.installed(lot, build.at_position(aircraft, "BIN"), "2027-03-03")
    return aircraft, lot


def test_a_split_lot_stays_in_its_place_as_two():
    aircraft, lot = a_bin_of_vests()

    new, rest = split(lot, 2)

    counted = {row.unit_id: row.quantity for row in fitted(aircraft, build.instant("2027-05-01"))}
    made = Unit.objects.get(pk=new.unit_id)
    assert counted == {lot.pk: 4, new.unit_id: 2}
    assert (rest.unit_id, made.split_from, made.manufactured_on) == (
        lot.pk,
        lot,
        build.day("2025-02-01"),
    )


def test_the_rest_of_a_split_lot_was_fitted_all_the_time():
    _, lot = a_bin_of_vests()

    split(lot, 2)

    assert FittedPeriod.objects.get(unit=lot).from_at == build.instant("2027-03-03")


def test_the_same_split_again_gives_the_first_result():
    _, lot = a_bin_of_vests()
    act = uuid4()
    first = split(lot, 2, act_id=act)

    again = split(lot, 2, act_id=act)

    assert [each.movement_id for each in again] == [each.movement_id for each in first]
    assert Unit.objects.count() == 2


@pytest.mark.parametrize(
    ("quantity", "when", "code"),
    [(6, "2027-04-01", "quantity_not_there"), (1, "2027-01-01", "nothing_recorded_before")],
)
def test_what_a_lot_had_not_cannot_be_split_off(quantity, when, code):
    _, lot = a_bin_of_vests()

    with pytest.raises(Refused) as refused:
        split(lot, quantity, when)

    assert refused.value.code == code


def test_a_full_bin_takes_no_more_vests():
    aircraft, _ = a_bin_of_vests()

    done = build.installed(build.a_unit(), build.at_position(aircraft, "BIN"), "2027-04-01")

    assert done.reasons[0].code == "position_full"
    assert "holds 6 and would hold 7" in done.reasons[0].message


def test_each_sort_of_movement_follows_those_that_it_can_follow():
    station, slide, aircraft = build.a_station(), build.a_unit(), build.an_aircraft()
    store, quarantine = build.in_store(station), build.in_quarantine(station)
    party = PlaceAt("party", name="Curlew Air")
    led = [
        ("received", quarantine),
        ("released", store),
        ("installed", build.at_position(aircraft)),
        ("removed", store),
        ("sent", build.SHOP),
        ("returned", store),
        ("lent", party),
        ("returned", quarantine),
        ("quarantined", quarantine),
        ("lost", PlaceAt("gone", name="lost")),
        ("found", store),
        ("exchanged", party),
        ("borrowed", store),
        ("sold", party),
        ("received", store),
        ("scrapped", build.SCRAPPED),
    ]

    done = [
        build.moved(slide, sort, to, f"2027-01-{day:02}") for day, (sort, to) in enumerate(led, 1)
    ]

    assert [each.reasons for each in done] == [()] * len(led)
    sorts = Movement.objects.of_unit(slide).values_list("sort", flat=True)
    assert list(sorts) == [sort for sort, _ in led]


def test_units_are_read_by_where_they_are():
    station, aircraft = build.a_station(), build.an_aircraft()
    spare, held = build.a_unit(), build.a_unit()
    slide, light = build.a_unit(build.a_part("", "LIGHT")), build.a_unit()
    build.moved(spare, "received", build.in_store(station), "2027-01-01")
    build.moved(held, "received", build.in_quarantine(station), "2027-01-01")
    build.installed(slide, build.at_position(aircraft), "2027-01-01")
    build.installed(light, build.inside(slide), "2027-01-01")

    assert list(Unit.objects.in_store(station)) == [spare]
    assert list(Unit.objects.in_quarantine(station)) == [held]
    assert set(Unit.objects.installed_on(aircraft)) == {slide, light}
    assert list(Unit.objects.inside(slide)) == [light]


def test_a_lot_is_split_on_its_page(client):
    _, lot = a_bin_of_vests()
    with time_machine.travel(LATER, tick=False):
        client.force_login(build.a_person("controller"))
        assert (
            "Split this lot"
            in client.get(reverse("equipment:unit", args=[lot.pk])).content.decode()
        )
        address = reverse("equipment:unit_split", args=[lot.pk])
        sent = {"quantity": "9", "serial_number": "B2", "happened_at": "2027-04-01T10:00"}
        refused = client.post(address, sent)
        answer = client.post(address, {**sent, "quantity": "2"})

    assert refused.status_code == 422
    assert "had 6 then" in refused.content.decode()
    made = Unit.objects.get(serial_number="B2")
    assert (answer.status_code, made.split_from, made.quantity) == (302, lot, 2)
