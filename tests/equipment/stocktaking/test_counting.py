from __future__ import annotations

from uuid import uuid4

import pytest
from django.urls import reverse

from equipment.keeping.repair import check_whereabouts
from equipment.models import Discrepancy, Movement, StockTake, StockTakeScan, Unit
from equipment.stocktaking.acts.counts import begin_stock_take, count_scan, end_stock_take
from equipment.stocktaking.acts.differences import settle_difference
from equipment.stocktaking.reads import standing
from equipment.stores.acts.bins import stow_unit
from fleet.house.refusals import Refused
from tests import builders as build
from tests.at_once import people
from tests.equipment.stores.world import AT, a_stocked_unit, code_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def station(db):
    return build.a_station()


@pytest.fixture
def clerk(db):
    return build.a_person("stores")


def in_bin(station, name, clerk):
    unit = a_stocked_unit(station)
    stow_unit(by=clerk, unit_id=unit.pk, bin_name=name, act_id=uuid4(), at=AT)
    return Unit.objects.select_related("place", "part_number").get(pk=unit.pk)


def begun(station, clerk, bin_name="", store="store"):
    return begin_stock_take(
        by=clerk, station_id=station.pk, store=store, bin_name=bin_name, act_id=uuid4(), at=AT
    )


def scanned(take, clerk, code, **more):
    facts = {"bin_name": "", "quantity": None, "act_id": uuid4(), "at": AT}
    said = code if isinstance(code, str) else f"{code.part_number.number} {code.serial_number}"
    return count_scan(by=clerk, take_id=take.pk, code=said, **facts | more)


def settled(take, clerk, how, unit=None, scan=None, words="Looked for twice."):
    return settle_difference(
        by=clerk,
        take_id=take.pk,
        how=how,
        unit_id=unit and unit.pk,
        scan_id=scan and scan.pk,
        words=words,
        act_id=uuid4(),
        at=AT,
    )


def ended(take, clerk, at=AT):
    return end_stock_take(by=clerk, take_id=take.pk, words="", act_id=uuid4(), at=at)


def differs(take):
    return [(each.sort, each.unit_id) for each in standing(take).differs]


def test_a_bin_whose_units_are_all_scanned_ends_with_nothing_moved(station, clerk):
    one, two = (in_bin(station, "R1", clerk) for _ in range(2))
    moved = Movement.objects.count()
    take = begun(station, clerk, "R1")

    assert differs(take) == [("missing", one.pk), ("missing", two.pk)]
    scanned(take, clerk, one)
    scanned(take, clerk, two)

    assert ended(take, clerk).ended_by == clerk
    assert Movement.objects.count() == moved


def test_begun_twice_is_refused_with_who_counts_it_and_a_whole_store_beside_its_bin_too(
    station, clerk
):
    in_bin(station, "R1", clerk)
    take = begun(station, clerk, "R1")

    for bin_name in ("R1", ""):
        with pytest.raises(Refused) as refused:
            begun(station, build.a_person("stores"), bin_name)
        assert refused.value.code == "count_begun"
        assert clerk.shown_name in refused.value.refusals[0].message
        assert refused.value.refusals[0].field == "bin"
    scanned(take, clerk, Unit.objects.get())
    ended(take, clerk)
    begun(station, clerk, "R1")


def test_a_bin_that_nobody_knows_is_not_counted(station, clerk):
    assert code_of(begun, station, clerk, "R99") == "unknown_bin"
    assert not StockTake.objects.exists()


def test_every_sort_of_difference_is_named(station, clerk):
    missing, other_bin = in_bin(station, "R1", clerk), in_bin(station, "R2", clerk)
    away = a_stocked_unit(build.a_station())
    take = begun(station, clerk, "R1")
    for code in (other_bin, away, "NOBODY-KNOWS 77"):
        scanned(take, clerk, code)

    assert differs(take) == [
        ("unknown", None),
        ("other_bin", other_bin.pk),
        ("elsewhere", away.pk),
        ("missing", missing.pk),
    ]
    with pytest.raises(Refused) as refused:
        ended(take, clerk)
    assert refused.value.code == "differences_left"
    assert "4 differences are not settled" in refused.value.refusals[0].message


def test_named_acts_settle_them_and_the_ledger_says_what_is_there(station, clerk):
    missing, other_bin = in_bin(station, "R1", clerk), in_bin(station, "R2", clerk)
    away = a_stocked_unit(build.a_station())
    take = begun(station, clerk, "R1")
    scanned(take, clerk, other_bin)
    scanned(take, clerk, away)
    unknown = scanned(take, clerk, "NOBODY-KNOWS 77")

    settled(take, clerk, "lost", missing)
    settled(take, clerk, "bin", other_bin)
    settled(take, clerk, "here", away)
    settled(take, clerk, "explained", scan=unknown, words="A training aid.")

    places = {u.pk: u.place for u in Unit.objects.select_related("place__station")}
    assert places[missing.pk].sort == "gone"
    assert (places[other_bin.pk].sort, places[other_bin.pk].name) == ("store", "R1")
    assert (places[away.pk].sort, places[away.pk].station) == ("quarantine", station)
    assert differs(take) == []
    ended(take, clerk)
    assert list(check_whereabouts()) == []


def test_what_is_on_record_on_an_aircraft_is_shown_to_the_controller_and_stays_there(
    station, clerk
):
    fitted = a_stocked_unit(station)
    build.installed(fitted, build.at_position(build.an_aircraft()), "2027-04-01")
    take = begun(station, clerk)
    scanned(take, clerk, fitted)

    assert code_of(settled, take, clerk, "here", fitted) == "unit_recorded_elsewhere"
    settled(take, clerk, "controller", fitted)

    shown = Discrepancy.objects.get()
    assert (shown.sort, shown.recorded_unit) == ("no_unit", fitted)
    assert Unit.objects.get(pk=fitted.pk).aircraft_id is not None
    ended(take, clerk)


def test_what_does_not_differ_is_not_settled_and_a_way_must_suit(station, clerk):
    unit = in_bin(station, "R1", clerk)
    take = begun(station, clerk, "R1")

    assert code_of(settled, take, clerk, "bin", unit) == "way_does_not_suit"
    assert code_of(settled, take, clerk, "lost", unit, words=" ") == "missing"
    scanned(take, clerk, unit)
    assert code_of(settled, take, clerk, "lost", unit) == "nothing_differs"
    assert not take.settlements.exists()


def test_pieces_of_a_lot_are_counted_and_none_is_below_zero(station, clerk):
    lot = a_stocked_unit(station, build.a_part(is_lot=True), quantity=22)
    take = begun(station, clerk)

    assert code_of(scanned, take, clerk, lot, quantity=-1) == "out_of_range"
    scanned(take, clerk, lot, quantity=20)
    assert differs(take) == [("quantity", lot.pk)]
    settled(take, clerk, "quantity", lot)

    assert Unit.objects.get(pk=lot.pk).quantity == 20
    ended(take, clerk)
    assert list(check_whereabouts()) == []


def test_an_ended_one_takes_no_scan_and_a_serial_number_of_two_units_is_asked_about(station, clerk):
    take = begun(station, clerk)
    for _ in range(2):
        build.a_unit(serial_number="TWIN-1")
    assert code_of(scanned, take, clerk, "TWIN-1") == "ambiguous_unit"
    ended(take, clerk)

    assert code_of(scanned, take, clerk, "ANY 1") == "count_ended"
    assert code_of(ended, take, clerk) == "count_ended"
    assert not StockTakeScan.objects.exists()


@pytest.mark.parametrize("role", ["technician", "auditor", "certifying"])
def test_other_roles_do_not_count(station, role):
    assert code_of(begun, station, build.a_person(role)) == "not_permitted"


def test_by_the_pages_from_the_first_scan_to_the_end(client, station, clerk):
    unit = in_bin(station, "R1", clerk)
    client.force_login(clerk)
    form = {"act_id": uuid4(), "station": station.pk, "store": "store", "bin": "R1"}
    answer = client.post(reverse("equipment:stores_counts"), form)
    take = StockTake.objects.get()
    here = reverse("equipment:stores_count", args=[take.pk])
    assert answer.url == here

    other = client.__class__()
    other.force_login(build.a_person("stores"))
    again = other.post(reverse("equipment:stores_counts"), form | {"act_id": uuid4()})
    assert again.status_code == 422 and "has been counting" in again.content.decode()
    below = client.post(here, {"act_id": uuid4(), "code": "X 1", "quantity": "-3"})
    assert below.status_code == 422 and not StockTakeScan.objects.exists()
    assert "autofocus" in client.get(here).content.decode()
    client.post(here, {"act_id": uuid4(), "code": f"{unit.part_number} {unit.serial_number}"})
    client.post(here, {"act_id": uuid4(), "code": "NOBODY 1"})
    line = StockTakeScan.objects.get(unit=None)
    settle = reverse("equipment:stores_count_settle", args=[take.pk]) + f"?scan={line.pk}"
    assert "means no unit on record" in client.get(settle).content.decode()
    client.post(settle, {"act_id": uuid4(), "how": "explained", "words": "A training aid."})
    client.post(reverse("equipment:stores_count_end", args=[take.pk]), {"act_id": uuid4()})

    assert StockTake.objects.get().ended_by == clerk


@pytest.mark.django_db(transaction=True)
def test_of_two_who_begin_at_one_moment_one_is_told_of_the_other():
    station = build.a_station()
    clerks = [build.a_person("stores") for _ in range(2)]

    def begin(person):
        try:
            return begun(station, person).pk
        except Refused as refused:
            return refused.code

    with people() as at_once:
        done = at_once(*(lambda each=each: begin(each) for each in clerks))

    assert sorted(map(str, done))[-1] == "count_begun"
    assert StockTake.objects.count() == 1
