"""A fitted cylinder whose specification asks for a periodic test, and that no limit covers (49 CFR 180.209(a)), is on
the due list with what is missing: it grounds nothing, as what may stay until it is emptied does not."""

from __future__ import annotations

import csv
import io

import pytest
import time_machine
from django.urls import reverse

from equipment.models import Unit
from fleet.aircraft.ports import groundings_of
from scheduling.due import due_list
from scheduling.due.lists.filters import DueFilters
from tests import builders as build
from tests.api.conftest import administrator, program, secret_of  # noqa: F401
from tests.equipment.line_world import signed_in
from tests.published.test_requalification import made_of
from tests.scheduling import rules

pytestmark = pytest.mark.django_db
WORDS = "is a 3AA cylinder, and no limit of a programme covers its periodic test"
LACKS = "a limit that covers its periodic test"


@pytest.fixture
def bottle(db):
    """A 3AA cylinder inside a slide that is fitted; the kind has no limit yet."""
    with time_machine.travel(build.instant("2027-06-01 12:00"), tick=False):
        kind = build.a_kind()
        craft = rules.follows(build.an_aircraft(of_type=build.an_aircraft_type("SLIDE", kind=kind)))
        slide = build.a_unit(build.a_part("", "BOTTLE", kind=kind))
        unit = build.a_unit(build.a_part(removed="shop"), manufactured_on=build.day("2024-03-09"))
        made_of(unit, "3AA")
        build.moved(slide, "received", build.in_store(craft.station), "2024-04-01 08:00")
        build.installed(unit, build.inside(slide, "BOTTLE"), "2024-05-01 08:00")
        build.installed(slide, build.at_position(craft, "SLIDE"), "2024-06-01 08:00")
        unit.craft, unit.slide, unit.kind = craft, slide, kind
        rules.reckon()
        yield unit


def rows(as_of=rules.DAY, **asked):
    return list(due_list.due_rows(filters=DueFilters(**asked), as_of=as_of))


def test_it_is_a_row_without_a_date_and_grounds_nothing(bottle):
    [row] = rows()

    assert (row.band, row.work, row.missing) == ("no-basis", "Periodic test", (LACKS,))
    assert (row.registration, row.unit_id, row.line_unit_id) == (
        bottle.craft.registration,
        bottle.pk,
        bottle.slide.pk,
    )
    assert (row.due_on, row.grounds_aircraft) == (None, False)
    assert groundings_of([bottle.craft.pk], rules.DAY) == {}
    # The same on a day that is reckoned, and under what narrows the list; before it was fitted there is none.
    assert [each.id for each in rows(build.day("2027-07-01"))] == [row.id]
    assert [each.id for each in rows(band="no-basis", kind=bottle.kind.code)] == [row.id]
    assert rows(grounds=True) == rows(band="overdue") == rows(build.day("2024-05-20")) == []


def test_every_door_has_it(bottle, program):  # noqa: F811
    reader = signed_in(build.a_person("controller"))
    address = reverse("fleet:aircraft", args=[bottle.craft.registration])

    listed = reader.get(reverse("scheduling:due_list")).content.decode()
    of_aircraft = reader.get(address).content.decode()
    fleet = reader.get(reverse("fleet:aircraft_list")).content.decode()
    shown = program("controller").get("/api/v1/due-items?band=no-basis").json()
    [item] = shown["results"]
    why = program("auditor").get(f"/api/v1/due-items/{item['id']}/explanation").json()
    page = reader.get(reverse("scheduling:due_item", args=[item["id"]])).content.decode()
    file = reader.get(reverse("scheduling:due_export", args=["csv"])).getvalue()
    [line] = csv.DictReader(io.StringIO(file.decode("utf-8-sig")))

    assert "Periodic test" in listed and f"missing: {LACKS}" in listed
    assert "SLIDE, SLIDE: data missing" in of_aircraft
    assert f"?aircraft={bottle.craft.registration}&amp;band=no-basis" in fleet
    assert (shown["counts"]["no-basis"], item["missing"]) == (1, [LACKS])
    assert WORDS in why["steps"][0] and why["document"] == "49 CFR 180.209"
    assert WORDS in page
    assert (line["Serial number"], line["Work"]) == (bottle.serial_number, "Periodic test")


def test_a_limit_that_covers_it_is_the_only_row(bottle, as_owner):
    rules.a_rule("HYDRO", rules.every(60, runs_out="until_emptied"), kind=bottle.kind)
    rules.reckon()

    assert {row.limit for row in rows()} == {"HYDRO"}
    assert {row.limit for row in rows(build.day("2027-07-01"))} == {"HYDRO"}


def test_a_limit_of_another_sort_leaves_it_there(bottle):
    rules.a_rule("WEIGH", rules.every(12), kind=bottle.kind)
    rules.reckon()

    assert {row.work for row in rows()} == {"Inspect", "Periodic test"}
    assert {row.work for row in rows(build.day("2027-07-01"))} == {"Inspect", "Periodic test"}


def test_a_spare_is_not_on_it(bottle):
    build.removed(bottle.slide, build.in_store(bottle.craft.station), "2027-06-01 10:00")

    assert Unit.objects.get(pk=bottle.pk).aircraft_id is None
    assert rows() == []
