"""The package of a check: whoever works at it reads what is done where, with what, and out of which bin."""

from __future__ import annotations

import re
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from equipment.models import Reservation, Unit
from fleet.house.pages import today
from fleet.models import Check, TypePosition
from fleet.words.said import day_words
from scheduling.models import Work
from scheduling.packages.reads.package import package_of
from tests import builders as build
from tests.equipment.line_world import a_step_list, signed_in
from tests.equipment.stores.world import certified
from tests.scheduling.planning.world import (
    a_check,
    an_aircraft,
    due_in,
    in_days,
    overhauls,
    reckoned,
)
from tests.scheduling.rules import a_rule, done, every

pytestmark = pytest.mark.django_db

POSITIONS = ("D1L-SLIDE", "D1R-SLIDE", "D2L-SLIDE", "D2R-SLIDE")


@pytest.fixture
def stage():
    """A check with two slides behind one door, of one a second work, and a look in place elsewhere; one slide
    is set aside in a bin; a step list with a caution. What is later stays out."""
    overhauls()
    a_rule("SL-TEST", every(24), work="TEST")
    craft = an_aircraft(*POSITIONS)
    of_type = TypePosition.objects.filter(aircraft_type=craft.aircraft_type)
    of_type.filter(code__startswith="D1").update(zone="830")
    left, right, look, late = (
        due_in(craft, *each) for each in zip(POSITIONS, (60, 70, 400, 300), strict=True)
    )
    done("TEST", in_days(-600).isoformat(), unit_id=left.pk)
    a_rule("SL-LOOK", every(6), work="LOOK")
    Work.objects.filter(code="LOOK").update(is_done_in_place=True)
    done("LOOK", in_days(-120).isoformat(), unit_id=look.pk)
    kind = of_type.get(code="D1L-SLIDE").kind
    a_step_list(kind, "PKG")
    spare = build.a_unit(left.part_number)
    certified(spare)
    store = build.in_store(craft.station)
    build.moved(spare, "received", store, "2026-03-01")
    Reservation.objects.create(
        act_id=uuid4(),
        unit=spare,
        place=Unit.objects.get(pk=left.pk).place,
        need_on=in_days(50),
        reserved_at=timezone.now(),
        reserved_by=build.a_person("stores"),
    )
    check = a_check(craft, 50, "A1")
    a_check(craft, 150, "A2")
    reckoned()
    return check, {"left": left, "right": right, "look": look, "late": late, "spare": spare}


def of(check: Check):
    return package_of(Check.objects.select_related("aircraft", "station").get(pk=check.pk), today())


def test_it_brings_together_what_is_behind_one_access_with_units_papers_and_cautions(stage):
    check, units = stage

    package = of(check)

    found = {
        (part.zone, part.access): [
            (line.job.row.unit_id, bool(line.place_id)) for line in part.lines
        ]
        for part in package.parts
    }
    assert found == {
        ("", ""): [(units["look"].pk, False)],
        ("830", "DOOR 1"): [(units["left"].pk, True), (units["right"].pk, True)],
    }
    first, second = package.parts[1].lines
    assert sorted(one.limit for one in first.works) == ["SL-OH", "SL-TEST"]
    assert (first.set_aside.unit_id, first.set_aside.where) == (
        units["spare"].pk,
        f"store {check.station.code}",
    )
    assert second.set_aside is None and second.lacks_unit
    assert (package.swaps, package.lacking) == (2, 1)
    [listed] = package.lists
    assert [(one.step, one.words) for one in listed.cautions] == [(1, "A flap that moves crushes.")]
    assert "wrench" in listed.tools
    assert {"VAR-MP revision 7", listed.document} == set(package.documents)


def test_a_unit_set_aside_that_runs_out_before_the_check_is_nowhere_said_to_be_taken(stage):
    """Its limit was shortened since, or a work on it came to be known late."""
    check, units = stage
    last = in_days(20)
    done("OVERHAUL", last.replace(year=last.year - 1).isoformat(), unit_id=units["spare"].pk)
    reckoned()
    desk = signed_in(build.a_person("controller"))

    package = of(check)
    pages = [
        re.sub(
            r"\s+", " ", desk.get(reverse(f"scheduling:{name}", args=[check.pk])).content.decode()
        )
        for name in ("check_package", "check_picks")
    ]
    files = [
        desk.get(reverse(f"scheduling:{name}", args=[check.pk, "csv"])).content.decode("utf-8-sig")
        for name in ("package_file", "picks_file")
    ]
    [behind] = [
        part
        for part in desk.get(f"/api/v1/plan/checks/{check.pk}").json()["parts"]
        if part["access"] == "DOOR 1"
    ]

    assert package.lacking == 2
    why = package.parts[1].lines[0].set_aside.why_not
    assert units["spare"].serial_number in why and day_words(last) in why
    assert "Not to be fitted:" in pages[0] and "not to be taken" in pages[1]
    assert all("2 without" in page and day_words(last) in page for page in pages)
    assert all("NOT TO BE" in each and why in each for each in files)
    assert behind["lines"][0]["set_aside"]["why_not"] == why


@pytest.mark.parametrize("role", ["technician", "stores"])
def test_technician_and_clerk_read_it_from_the_check(role, stage):
    check, units = stage
    desk = signed_in(build.a_person(role))
    address = reverse("scheduling:check_package", args=[check.pk])

    way = desk.get(reverse("scheduling:plan_check", args=[check.pk])).content.decode()
    page = re.sub(r"\s+", " ", desk.get(address).content.decode())

    assert address in way
    assert "Zone 830, DOOR 1: 2" in page and "1 without a unit to take" in page
    assert "A flap that moves crushes." in page
    assert units["spare"].serial_number in page
    assert ("Begin the swap" in page) == (role == "technician")
    assert units["late"].serial_number not in page


def test_programs_read_the_same_in_a_fixed_number_of_questions(stage):
    check, units = stage
    desk = signed_in(build.a_person("controller"))
    address = f"/api/v1/plan/checks/{check.pk}"

    with CaptureQueriesContext(connection) as many:
        sent = desk.get(address).json()
    Check.objects.filter(pk=check.pk).update(starts_on=in_days(65), ends_on=in_days(66))
    Reservation.objects.update(place=Unit.objects.get(pk=units["right"].pk).place)
    reckoned()
    with CaptureQueriesContext(connection) as few:
        fewer = desk.get(address).json()

    assert (sent["swaps"], sent["lacking"], len(sent["parts"])) == (2, 1, 2)
    [behind] = [part for part in sent["parts"] if part["access"] == "DOOR 1"]
    assert behind["lines"][0]["set_aside"]["unit"] == units["spare"].pk
    assert fewer["swaps"] == 1
    assert len(few) == len(many) <= 75
    assert desk.get("/api/v1/plan/checks/999999").status_code == 404


def test_what_is_overdue_or_unknown_on_its_aircraft_is_at_no_check_and_is_said(stage):
    check, units = stage
    address = reverse("scheduling:check_package", args=[check.pk])
    desk = signed_in(build.a_person("technician"))
    door = f"/api/v1/plan/checks/{check.pk}"
    before = desk.get(door).json()
    a_rule("SL-OLD", every(6), work="OLD")
    done("OLD", in_days(-400).isoformat(), unit_id=units["late"].pk)
    reckoned()

    page = re.sub(r"\s+", " ", desk.get(address).content.decode())

    told = desk.get(door).json()
    assert (before["now"], told["now"]) == (0, 1)
    assert told["unknown"] > before["unknown"] > 0
    said = f"1 overdue or unserviceable and {told['unknown']} with data missing stand at no check"
    assert said in page


def test_where_no_unit_is_set_aside_it_says_which_part_numbers_fit_or_that_none_are_entered(stage):
    check, units = stage
    address = reverse("scheduling:check_package", args=[check.pk])
    picks = reverse("scheduling:check_picks", args=[check.pk])
    stores = signed_in(build.a_person("stores"))
    own = units["right"].part_number
    missing = stores.get(address).content.decode()
    other = build.a_part(kind=own.kind)
    elsewhere = build.a_part(kind=own.kind)
    there = Unit.objects.get(pk=units["right"].pk).place.aircraft_position.type_position.code
    build.a_fit(own, check.aircraft, there)
    build.a_fit(other, check.aircraft, there, standards=["A"])
    build.a_fit(elsewhere, check.aircraft, there, msn_from="99998", msn_to="99999")
    check.aircraft.msn = "1042"
    check.aircraft.save()

    [line] = [each for each in of(check).lines if each.lacks_unit]
    page, list_ = (stores.get(each).content.decode() for each in (address, picks))
    asked = f"part_number={other.number}&amp;quantity=1"

    assert "Fits not entered" in missing and "as comes off" in missing
    assert line.fitting.parts == line.to_ask_for == tuple(sorted((own.number, other.number)))
    assert f"{other.number} at A" in line.fitting.words
    assert asked in page and asked in list_ and elsewhere.number not in page
    technician = signed_in(build.a_person("technician")).get(address).content.decode()
    assert other.number in technician and asked not in technician
    told = stores.get(f"/api/v1/plan/checks/{check.pk}").json()["parts"]
    fits = [each["fits"] for part in told for each in part["lines"]]
    assert {
        "is_listed": True,
        "parts": list(line.fitting.parts),
        "words": line.fitting.words,
    } in fits
    assert None in fits
    lead = stores.get(f"{reverse('equipment:stores_buying')}?part_number={other.number}")
    assert f'value="{other.number}"' in lead.content.decode()
