"""Life-limited, overhaul and directive status: limit, used, left, document; on the page and in each file."""

from __future__ import annotations

import csv
import io
from datetime import date, timedelta
from uuid import uuid4

import openpyxl
import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from pypdf import PdfReader

from fleet.house.pages import today
from fleet.models import Measure, UtilisationReading
from scheduling.models import DueItem
from scheduling.status.clocks import clocks_of
from scheduling.status.reads import status_of
from tests import builders as build
from tests.equipment.line_world import signed_in
from tests.scheduling.planning.world import an_aircraft, in_days, reckoned
from tests.scheduling.rules import Runs, a_directive, a_rule, disposed, done, every, once

pytestmark = pytest.mark.django_db

LIFE = Runs("months", [(240, "any")], {"counts_from": "manufacture", "runs_out": "end_of_life"})


@pytest.fixture
def fleet():
    """A slide 200 days into a year between overhauls, with a life, one under a directive, one done with it."""
    craft = an_aircraft("D1L-SLIDE", "D1R-SLIDE")
    a_rule("SL-OH", every(12), work="OVERHAUL")
    a_rule("SL-LIFE", LIFE, work="RETIRE")
    directive = a_directive("DIR-1", once("days", 90, in_days(-30).isoformat()))
    left, right = (build.a_unit(manufactured_on=date(2019, 6, 15)) for _ in range(2))
    build.installed(left, build.at_position(craft, "D1L-SLIDE"), "2020-01-05")
    build.installed(right, build.at_position(craft, "D1R-SLIDE"), "2020-01-05")
    for unit in (left, right):
        done("OVERHAUL", in_days(-200).isoformat(), unit_id=unit.pk)
    disposed(
        directive, right, "not_applicable", in_days(-5).isoformat(), reason="Serial made later."
    )
    reckoned()
    return craft, left, right


def lines(sort, craft=None):
    return list(status_of(sort, craft, today()).lines())


def test_of_a_limit_in_months_days_used_and_left_are_by_the_calendar(fleet):
    craft, left, _ = fleet

    [one] = [line for line in lines("overhaul", craft) if line.row.unit_id == left.pk]

    [clock] = one.clocks
    due = in_days(-200).replace(year=in_days(-200).year + 1)
    assert (clock.used, clock.left, clock.last_on) == (200, (due - today()).days, due)
    assert clock.allowed == "12 months" and clock.measure == "days"


def test_each_limit_is_in_one_record_and_a_life_is_told_from_manufacture(fleet):
    craft, left, _ = fleet

    found = {
        sort: {line.row.limit for line in lines(sort, craft)}
        for sort in ("life-limited", "overhaul")
    }
    life = next(line for line in lines("life-limited", craft) if line.row.unit_id == left.pk)

    assert found == {"life-limited": {"SL-LIFE"}, "overhaul": {"SL-OH"}}
    assert life.clocks[0].start_on == date(2019, 6, 15)
    assert life.clocks[0].used == (today() - date(2019, 6, 15)).days
    assert life.clocks[0].last_on == date(2039, 6, 15)


def test_of_a_directive_each_case_is_there_the_closed_ones_too(fleet):
    craft, left, right = fleet

    cases = {line.row.unit_id: line for line in lines("directives", craft)}

    assert set(cases) == {left.pk, right.pk}
    assert cases[left.pk].disposition is None and cases[left.pk].clocks[0].left == 60
    assert cases[right.pk].disposition.get_sort_display() == "not applicable"
    assert cases[right.pk].row.band == ""
    page = signed_in(build.a_person("auditor")).get(
        reverse("scheduling:status", args=["directives"])
    )
    text = page.content.decode()
    assert "no disposition" in text and "Serial made later." in text


def test_a_listed_number_that_no_unit_has_is_said_on_page_and_paper(fleet):
    a_directive("DIR-2", once("days", 90, in_days(-30).isoformat()), serials=[["ZZ404", "ZZ404"]])

    client = signed_in(build.a_person("auditor"))
    page = client.get(reverse("scheduling:status", args=["directives"])).content.decode()
    paper = client.get(reverse("scheduling:status_file", args=["directives", "pdf"])).content

    assert "ZZ404" in page
    assert "ZZ404" in "".join(one.extract_text() for one in PdfReader(io.BytesIO(paper)).pages)


def test_hours_are_hours_in_the_workbook_and_what_is_used_and_left_is_the_limit(fleet):
    craft, left, _ = fleet
    hours = Measure.objects.get_or_create(
        code="FH", defaults={"name": "flight hours", "unit": "minutes", "counted_on": "aircraft"}
    )[0]
    a_rule(
        "SL-FH",
        Runs("FH", [(60_000, "any")], {"counts_from": "this_installation"}),
        work="OVERHAUL",
    )
    for at, total in (
        ("2020-01-04T23:59:59+00:00", 600),
        (f"{in_days(-1)}T23:59:59+00:00", 12_690),
    ):
        UtilisationReading.objects.create(
            aircraft=craft,
            measure=hours,
            read_at=at,
            total=total,
            act_id=uuid4(),
            recorded_at=build.NOW,
        )
    reckoned()

    sent = signed_in(build.a_person("auditor")).get(
        reverse("scheduling:status_file", args=["overhaul", "xlsx"]),
        {"aircraft": craft.registration},
    )
    book = openpyxl.load_workbook(io.BytesIO(sent.content))
    head, *rows = book.worksheets[0].iter_rows(values_only=True)
    [row] = [
        dict(zip(head, each, strict=True))
        for each in rows
        if left.serial_number in each and "SL-FH" in each
    ]

    assert (row["Used"], row["Left"], row["In"]) == (201.5, 798.5, "flight hours")
    assert row["From"].date() == date(2020, 1, 5) and "VAR-MP" in row["Document"]


def test_paper_workbook_and_csv_hold_every_row(fleet):
    client = signed_in(build.a_person("auditor"))

    def sent(form):
        return client.get(reverse("scheduling:status_file", args=["overhaul", form])).content

    wanted = {line.row.serial_number for line in lines("overhaul")}
    paper = "".join(one.extract_text() for one in PdfReader(io.BytesIO(sent("pdf"))).pages)
    book = openpyxl.load_workbook(io.BytesIO(sent("xlsx"))).worksheets[0]
    read = list(csv.DictReader(io.StringIO(sent("csv").decode("utf-8-sig"))))

    assert all(serial in paper for serial in wanted)
    assert {row["Serial number"] for row in read} == wanted and book.max_row == len(read) + 1


def test_a_page_asks_as_many_questions_of_forty_units_as_of_two(fleet):
    client = signed_in(build.a_person("auditor"))
    address = reverse("scheduling:status", args=["overhaul"])
    client.get(address)
    with CaptureQueriesContext(connection) as few:
        client.get(address)
    for _ in range(20):
        craft = an_aircraft("D1L-SLIDE", "D1R-SLIDE")
        for position in ("D1L-SLIDE", "D1R-SLIDE"):
            build.installed(build.a_unit(), build.at_position(craft, position), "2020-01-05")
    reckoned()

    with CaptureQueriesContext(connection) as many:
        client.get(address)

    assert len(many) <= len(few) + 1


def test_an_unknown_record_aircraft_or_form_is_not_there(fleet):
    client = signed_in(build.a_person("auditor"))

    answers = [
        client.get("/status/nonsense/"),
        client.get("/status/overhaul/", {"aircraft": "Q-NONE\x00"}),
        client.get("/status/overhaul/file/exe/"),
    ]

    assert [each.status_code for each in answers] == [404, 404, 404]


def test_a_clock_counts_what_its_item_says(fleet):
    """The clock that decides comes to the same day as the due list, for every item."""
    items = {item.pk: item for item in DueItem.objects.exclude(due_on=None)}
    assert len(items) > 3

    clocks = clocks_of(list(items), today())

    for key, item in items.items():
        winner = next(each for each in clocks[key] if each.seq == item.decided_by)
        assert winner.last_on == item.due_on
        assert today() + timedelta(days=winner.left) == item.due_on
