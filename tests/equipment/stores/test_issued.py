"""What was handed over is issued, listed with its age, until it is fitted or brought back."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from uuid import uuid4

import pytest
from django.urls import reverse

from equipment.keeping.repair import check_whereabouts
from equipment.models import Movement, Reservation, Unit
from equipment.stocktaking.acts.counts import begin_stock_take
from equipment.stocktaking.reads import standing
from equipment.stores.acts.issues import bring_back, issue_unit
from equipment.stores.reads.clerk_day import clerk_day
from equipment.stores.reads.day_sections import sections
from equipment.stores.reads.scans import next_page
from equipment.stores.reads.stock import StockAsked, stock
from fleet.house.refusals import Refused
from fleet.models import User
from tests import builders as build

from .world import AT, TODAY, a_stocked_unit, code_of, set_aside

pytestmark = pytest.mark.django_db


@dataclass
class Out:
    unit: Unit
    held: Reservation
    clerk: User


@pytest.fixture
def out(db):
    unit, fitted = a_stocked_unit(), a_stocked_unit()
    done = build.installed(fitted, build.at_position(build.an_aircraft()), "2027-04-01")
    place = Movement.objects.get(pk=done.movement_id).to_place_id
    clerk = build.a_person("stores")
    held = set_aside(unit, place, clerk)
    issue_unit(by=clerk, reservation_id=held.pk, to="R. Oake", job="WP-2240", at=AT)
    return Out(unit, held, clerk)


def back(out, by=None, at=AT, **more):
    facts = {"bin_name": "", "is_doubtful": False, "words": "", "act_id": uuid4()}
    return bring_back(by=by or out.clerk, reservation_id=out.held.pk, at=at, **facts | more)


def states():
    return [row.state for row in stock(StockAsked(), on=TODAY, at=AT)]


def listed(on=TODAY):
    day = clerk_day(today=on, at=AT)
    return [line for each in sections(day, "") if each.code == "issued" for line in each.lines]


def test_it_is_issued_and_listed_with_whom_for_which_job_and_its_age(out):
    assert states() == ["issued"]
    [line] = listed(TODAY + timedelta(days=9))
    assert "To R. Oake, job WP-2240" in line.more and "9 days ago" in line.more
    assert line.is_late and not listed()[0].is_late
    take = begin_stock_take(
        by=out.clerk,
        station_id=out.unit.place.station_id,
        store="store",
        bin_name="",
        act_id=uuid4(),
        at=AT,
    )
    assert standing(take).expected == 0


def test_a_scan_leads_to_bringing_it_back_and_then_it_is_available(out):
    code = f"{out.unit.part_number} {out.unit.serial_number}"
    assert next_page(code, TODAY) == reverse("equipment:stores_bring_back", args=[out.held.pk])

    back(out, bin_name="R1")

    assert states() == ["available"] and listed() == []
    assert Unit.objects.select_related("place").get(pk=out.unit.pk).place.name == "R1"
    assert list(check_whereabouts()) == []


def test_in_doubt_it_goes_to_quarantine(out):
    assert code_of(back, out, is_doubtful=True) == "missing"
    back(out, is_doubtful=True, words="Seal broken.")

    assert states() == ["quarantined"]
    assert Reservation.objects.get().ended_how == "returned"


def test_fitted_it_is_listed_no_more(out):
    station = build.in_store(build.a_station())
    there = Unit.objects.get(place=out.held.place)
    build.removed(there, station, "2027-05-01")
    build.installed(out.unit, out.held.place_id, "2027-05-30")

    assert listed() == []


def test_what_was_not_issued_or_is_back_is_refused_by_whom(out):
    other = a_stocked_unit()
    kept = set_aside(other, out.held.place_id)
    out.held, first = kept, out.held
    assert code_of(back, out) == "not_issued"
    out.held = first
    back(out)
    with pytest.raises(Refused) as refused:
        back(out, by=build.a_person("stores"))
    assert refused.value.code == "reservation_ended"
    assert out.clerk.shown_name in refused.value.message
    assert code_of(back, out, by=build.a_person("technician")) == "not_permitted"


def test_it_is_handed_to_somebody(out):
    back(out)
    held = set_aside(out.unit, out.held.place_id)
    with pytest.raises(Refused) as refused:
        issue_unit(by=out.clerk, reservation_id=held.pk, to="  ", at=AT)
    assert [(each.code, each.field) for each in refused.value.refusals] == [("missing", "to")]


def test_by_its_page(client, out):
    client.force_login(out.clerk)
    address = reverse("equipment:stores_bring_back", args=[out.held.pk])
    assert address in client.get(reverse("equipment:stores_set_aside")).content.decode()
    client.post(address, {"act_id": uuid4(), "bin": "", "words": ""})

    assert Reservation.objects.get(pk=out.held.pk).ended_how == "returned"
