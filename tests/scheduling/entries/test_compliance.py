"""What a directive lists, and on which no unit is on record: said where the controller reads what is missing."""

from __future__ import annotations

import csv
import io

import pytest
from django.urls import reverse
from openpyxl import load_workbook

from scheduling.models import Limit
from tests import builders as build
from tests.api.conftest import administrator, program, secret_of  # noqa: F401
from tests.scheduling.rules import a_rule, every, follows

pytestmark = pytest.mark.django_db


@pytest.fixture
def desk(client):
    person = build.a_person("controller")
    client.force_login(person, "django.contrib.auth.backends.ModelBackend")
    return client


@pytest.fixture
def directive(db, request):
    """Lists (unless a test says otherwise) one unit that is there, one that nobody knows, one of another part, and a range."""
    kind = build.a_kind("BOTTLE")
    aircraft = follows(build.an_aircraft(of_type=build.an_aircraft_type("BTL", kind=kind)))
    unit = build.a_unit(build.a_part(kind=kind), serial_number="B4106")
    build.a_unit(build.a_part(kind=build.a_kind("SLIDE")), serial_number="B7777")
    build.installed(unit, build.at_position(aircraft, "BTL"), "2020-01-05")
    listed = getattr(request, "param", ["b4106 ", "B9999", "B7777", ["B1", "B9"]])
    a_rule("AD-1", every(12), work="CHECK", kind=kind, is_directive=True, serials=listed)
    return Limit.objects.get(code="AD-1")


def test_its_page_names_the_listed_numbers_that_no_unit_has(desk, directive):
    page = desk.get(reverse("scheduling:limit_compliance", args=[directive.pk])).content.decode()

    assert "B9999, B7777" in page and "no unit on record" in page
    assert "1 without a disposition" in page
    assert "B1 to B9: 0 on record" in page


def test_the_list_of_limits_says_how_many_are_missing(desk, directive):
    page = desk.get(reverse("scheduling:limits")).content.decode()

    assert "2 listed serial numbers are of no unit on record" in " ".join(page.split())


@pytest.mark.parametrize("directive", [["B4106"], []], indirect=True)
def test_nothing_is_said_where_each_listed_number_is_a_unit(desk, directive):
    page = desk.get(reverse("scheduling:limits")).content.decode()

    assert "of no unit on record" not in page


def test_a_unit_received_later_is_missing_no_longer(desk, directive):
    build.a_unit(build.a_part(kind=directive.kind), serial_number="B9999")

    page = desk.get(reverse("scheduling:limits")).content.decode()

    assert "1 listed serial number is of no unit on record" in " ".join(page.split())


def test_so_does_what_comes_next(desk, directive):
    page = " ".join(desk.get(reverse("scheduling:setting_up")).content.decode().split())

    assert "2 listed serial numbers of directives are of no unit on record" in page


def test_programs_read_the_directives_with_what_is_missing(directive, program):  # noqa: F811
    (shown,) = program("controller").get("/api/v1/directives").json()["results"]

    assert (shown["limit"], shown["unknown_serials"]) == ("AD-1", ["B9999", "B7777"])
    assert (shown["units"], shown["undecided"]) == (1, 1)


@pytest.mark.parametrize("form", ["csv", "xlsx"])
def test_the_file_has_each_unit_and_each_number_without_one(desk, directive, form):
    address = reverse("scheduling:compliance_export", args=[directive.pk, form])

    answer = desk.get(address)

    if form == "csv":
        rows = list(csv.reader(io.StringIO(answer.content.decode("utf-8-sig"))))
    else:
        sheet = load_workbook(io.BytesIO(answer.content)).worksheets[0]
        rows = [["" if one is None else one for one in row] for row in sheet.values]
    told = {row[1]: row[3] for row in rows[1:]}
    assert told == {
        "B4106": "none",
        "B9999": "no unit on record",
        "B7777": "no unit on record",
        "B1 to B9": "0 on record",
    }
    page = desk.get(reverse("scheduling:limit_compliance", args=[directive.pk])).content.decode()
    assert address in page
