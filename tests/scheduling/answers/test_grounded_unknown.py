"""What must be on board and is not grounds; so does a fitted unit that cannot be shown to be inside its limits."""

from __future__ import annotations

import csv
import io
from uuid import uuid4

import pytest
import time_machine
from django.test import Client
from django.urls import reverse

from equipment.complement.acts.cabins import NewCabin, state_cabin
from equipment.models import ComplementRule
from fleet.aircraft.ports import groundings_of
from scheduling.due import due_list
from scheduling.due.lists.filters import DueFilters
from tests import builders as build
from tests.api.conftest import administrator, program, secret_of  # noqa: F401
from tests.scheduling import rules

pytestmark = pytest.mark.django_db
NOON = build.instant("2027-06-01 12:00")
UNSHOWN = "cannot be shown to be inside its limits"


@pytest.fixture(autouse=True)
def that_day():
    with time_machine.travel(NOON, tick=False):
        yield


@pytest.fixture
def slide(db):
    """Fitted on an aircraft of two places; the kind has no limit yet."""
    kind = build.a_kind("SLIDE")
    of_type = build.an_aircraft_type("SLIDE", kind=kind, capacity=2)
    craft = rules.follows(build.an_aircraft(of_type=of_type))
    unit = build.a_unit(build.a_part(kind=kind), manufactured_on=None)
    build.installed(unit, build.at_position(craft, "SLIDE"), "2024-01-10 08:00")
    unit.craft, unit.kind = craft, kind
    return unit


def limited(unit, *clocks):
    rules.a_rule("OVH", *clocks, work="OVERHAUL", kind=unit.kind)
    rules.reckon()


def asked_two(unit, by="seats", **more):
    of_rule = {"document": "CABIN-1", "kind": unit.kind, "recorded_at": NOON, "number": 2}
    ComplementRule.objects.create(by=by, **{**of_rule, "seats_from": 31, **more})


def cabin(unit, **more):
    plain = {"from_on": build.day("2027-01-01"), "seats": 48, "occupants": 52, "document": "LOPA 1"}
    stated = NewCabin(unit.craft.pk, **{**plain, **more})
    state_cabin(by=build.a_person("controller"), cabin=stated, act_id=uuid4(), at=NOON)


def reader():
    client = Client()
    client.force_login(build.a_person("controller"))
    return client


def pages(craft):
    one = reader().get(reverse("fleet:aircraft", args=[craft.registration])).content.decode()
    listed = reader().get(reverse("fleet:aircraft_list")).content.decode()
    return " ".join(one.split()), " ".join(listed.split())


def groundings(craft):
    return list(groundings_of([craft.pk], rules.DAY).get(craft.pk, []))


def rows(**asked):
    return list(due_list.due_rows(filters=DueFilters(**asked), as_of=rules.DAY))


# --- what must be on board --------------------------------------------------------------------


def test_a_complement_that_is_not_met_grounds_on_page_list_and_api(slide, program):  # noqa: F811
    asked_two(slide)
    cabin(slide)

    one, listed = pages(slide.craft)
    client = program("controller")
    shown = client.get(f"/api/v1/aircraft/{slide.craft.registration}").json()
    (of_list,) = client.get("/api/v1/aircraft").json()["results"]

    assert "Not releasable" in one and "Required complement not met" in one
    assert "not releasable" in listed and "Required complement not met" in listed
    assert "1 not releasable" in listed
    for told in (shown, of_list):
        assert told["is_grounded"] is True
        assert [why["code"] for why in told["grounded_by"]] == ["complement_not_met"]
        assert "1 short (2 for 48 passenger seats, CABIN-1)" in told["grounded_by"][0]["sentence"]


def test_met_it_grounds_nothing(slide):
    asked_two(slide)
    cabin(slide)
    spare = build.a_unit(slide.part_number)
    build.installed(spare, build.at_position(slide.craft, "SLIDE"), "2027-04-01")

    assert groundings(slide.craft) == []
    assert "0 not releasable" not in pages(slide.craft)[1]


@pytest.mark.parametrize(("is_overwater", "count"), [(False, 0), (True, 1)])
def test_rafts_are_asked_of_an_aircraft_that_flies_overwater(slide, is_overwater, count):
    asked_two(slide, by="rafts", seats_from=0, number=1, only_overwater=True)
    cabin(slide, is_overwater=is_overwater)

    assert [why.code for why in groundings(slide.craft)] == ["complement_not_met"] * count


# --- no basis ---------------------------------------------------------------------------------


def test_a_fitted_unit_whose_limit_is_unknown_grounds_at_every_door(slide, program):  # noqa: F811
    limited(slide, rules.every(36))

    one, listed = pages(slide.craft)
    client = program("controller")
    shown = client.get(f"/api/v1/aircraft/{slide.craft.registration}").json()
    due = client.get("/api/v1/due-items?grounds=true").json()
    file = reader().get(reverse("scheduling:due_export", args=["csv"]), {"grounds": "on"})
    lines = list(csv.DictReader(io.StringIO(file.getvalue().decode("utf-8-sig"))))

    assert "Not releasable" in one and UNSHOWN in one
    assert "not releasable" in listed and UNSHOWN in listed
    (why,) = shown["grounded_by"]
    assert (why["code"], why["position"], why["unit"]) == ("limit_unknown", "SLIDE", slide.pk)
    assert "when the work was last done" in why["sentence"]
    assert (due["grounding"], [row["unit"] for row in due["results"]]) == (1, [slide.pk])
    assert [line["Serial number"] for line in lines] == [slide.serial_number]
    assert UNSHOWN in lines[0]["Notes"]
    # The same list reckoned for another day has it too.
    with_day = DueFilters(grounds=True)
    assert list(due_list.due_rows(filters=with_day, as_of=build.day("2027-06-02")))


def test_with_the_fact_recorded_it_grounds_nothing(slide):
    limited(slide, rules.every(36))
    rules.done("OVERHAUL", "2026-06-01", unit_id=slide.pk)

    assert groundings(slide.craft) == []
    assert not rows(grounds=True)


def test_where_the_worst_it_could_be_is_still_to_come_it_is_shown_to_be_inside(slide):
    # Fitted since 10 Jan 2024, and manufactured no later than it: 60 months cannot end before ...
    newer = build.a_unit(slide.part_number, manufactured_on=build.day("2026-01-01"))
    build.installed(newer, build.at_position(slide.craft, "SLIDE"), "2026-02-01")
    limited(slide, rules.every(36))

    (why,) = groundings(slide.craft)

    # ... 36 months from 1 January 2026: never overhauled is still inside.
    assert why.unit_id == slide.pk
    assert {row.unit_id for row in rows(band="no-basis")} == {slide.pk, newer.pk}


def test_a_second_clock_that_cannot_be_dated_is_not_hidden_by_one_that_can(slide):
    """36 months from a known overhaul are far off; the hours at it are not known."""
    rules.done("OVERHAUL", "2027-01-01", unit_id=slide.pk)
    build.the_hours()
    by_hours = rules.Runs("FH", [(60, "any")], {"counts_from": "last_done"})
    limited(slide, rules.every(36), by_hours)

    assert [why.code for why in groundings(slide.craft)] == ["limit_unknown"]


def test_what_may_stay_until_it_is_emptied_grounds_nothing_for_want_of_a_date(slide):
    limited(slide, rules.every(36, runs_out="until_emptied"))

    assert {row.band for row in rows()} == {"no-basis"}
    assert groundings(slide.craft) == []
    assert not rows(grounds=True)


def test_a_spare_without_a_basis_grounds_nothing(slide):
    limited(slide, rules.every(36))
    build.removed(slide, build.in_store(slide.craft.station), "2027-06-01 11:00")

    assert groundings(slide.craft) == []
    assert not rows(grounds=True)


def unit_page(unit):
    address = reverse("equipment:unit", args=[unit.pk])
    return " ".join(reader().get(address).content.decode().split())


def test_the_page_of_a_unit_of_which_something_is_unknown_never_begins_with_may(slide):
    limited(slide, rules.every(36, first_from="manufacture"))
    fitted = unit_page(slide)
    build.removed(slide, build.in_store(slide.craft.station), "2027-06-01 11:00")
    kept = unit_page(slide)

    assert "Grounds its aircraft." in fitted and UNSHOWN in fitted
    assert "May stay" not in fitted
    assert "Not to be used" in kept
    assert "May be used" not in kept
