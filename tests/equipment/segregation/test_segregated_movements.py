from __future__ import annotations

from uuid import uuid4

import pytest

from equipment.availability.acts.holds import NewHold, hold_units
from equipment.ledger.facts import PlaceAt, RowsRefused
from equipment.models import Title, Unit, UnitTag
from tests import builders as build
from tests.equipment.stores.world import AT, a_stocked_unit

pytestmark = pytest.mark.django_db


def tagged(unit, sort="unserviceable", at="2027-03-05 10:00"):
    UnitTag.objects.create(
        act_id=uuid4(),
        unit=unit,
        sort=sort,
        why="defect",
        tagged_at=build.instant(at),
        recorded_at=AT,
        recorded_by=build.a_person(),
    )


def held(unit):
    hold = NewHold("unit", "unapproved", "Forged stamps", unit_id=unit.pk)
    hold_units(by=build.a_person(), hold=hold, act_id=uuid4(), at=build.instant("2027-03-05 10:00"))


def restricted(unit):
    Title.objects.create(
        unit=unit,
        sort="pool_loan",
        owner="Skerry Air",
        from_on=build.day("2027-03-01"),
        restriction="only Q-AVEN",
        recorded_at=AT,
    )


def quarantined(unit):
    build.moved(unit, "quarantined", build.in_quarantine(build.a_station()), "2027-03-05")


CASES = {
    "unit_unserviceable": tagged,
    "unit_on_hold": held,
    "unit_of_another_owner": restricted,
    "unit_quarantined": quarantined,
}


@pytest.mark.parametrize(("code", "fact"), CASES.items(), ids=CASES)
def test_what_may_not_be_used_is_not_fitted_by_a_person_nor_by_a_sheet(code, fact):
    unit, to = a_stocked_unit(), build.at_position(build.an_aircraft())
    fact(unit)

    done = build.installed(unit, to, "2027-04-01")
    with pytest.raises(RowsRefused) as refused:
        build.installed(unit, to, "2027-04-01", is_strict=True)

    assert [reason.code for reason in done.reasons] == [code]
    assert not done.is_conforming
    assert [reason.code for reason in refused.value.by_row[0]] == [code]
    assert Unit.objects.get(pk=unit.pk).aircraft is None


@pytest.mark.parametrize("fact", [tagged, held], ids=["tagged", "held"])
def test_what_was_said_later_or_taken_back_forbids_nothing_before(fact):
    unit, to = a_stocked_unit(), build.at_position(build.an_aircraft())
    fact(unit)

    assert build.installed(unit, to, "2027-03-04").is_conforming


def test_a_later_serviceable_tag_allows_it_again():
    unit, to = a_stocked_unit(), build.at_position(build.an_aircraft())
    tagged(unit)
    tagged(unit, "serviceable", "2027-03-06 10:00")

    assert build.installed(unit, to, "2027-04-01").is_conforming


def test_an_owner_allows_the_aircraft_that_he_names():
    unit, aircraft = a_stocked_unit(), build.an_aircraft()
    Title.objects.create(
        unit=unit,
        sort="pool_loan",
        owner="Skerry Air",
        from_on=build.day("2027-03-01"),
        restriction=f"only {aircraft.registration}",
        recorded_at=AT,
    )

    assert build.installed(unit, build.at_position(aircraft), "2027-04-01").is_conforming


def test_nothing_leaves_quarantine_by_a_bin_of_the_store():
    unit, station = a_stocked_unit(), build.a_station()
    build.moved(unit, "quarantined", build.in_quarantine(station), "2027-03-05")

    done = build.moved(
        unit, "stowed", PlaceAt("store", station_id=station.pk, name="R1"), "2027-03-06"
    )

    assert [reason.code for reason in done.reasons] == ["unit_quarantined"]
    assert Unit.objects.get(pk=unit.pk).place.sort == "quarantine"


def test_what_is_held_is_not_released_to_stock_by_a_plain_movement():
    unit, station = a_stocked_unit(), build.a_station()
    build.moved(unit, "quarantined", build.in_quarantine(station), "2027-03-05")
    held(unit)

    done = build.moved(unit, "released", build.in_store(station), "2027-04-01")

    assert [reason.code for reason in done.reasons] == ["unit_on_hold"]
