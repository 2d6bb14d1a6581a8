"""An open item is a due item: in the rows, the counts, the files, the API and on its aircraft's page."""

from __future__ import annotations

import csv
import io
from datetime import timedelta
from uuid import uuid4

import openpyxl
import pytest
from django.core.management import call_command
from django.test import Client
from django.urls import reverse

from equipment.findings.acts.extensions import extend_item
from equipment.findings.acts.open_items import close_item, open_item
from equipment.findings.acts.openings import Opening
from fleet.house.pages import today
from fleet.models import Check
from scheduling.due.due_list import due_page, due_rows, explanation
from scheduling.due.lists.filters import DueFilters
from scheduling.due.lists.rows import SORTS
from scheduling.reckoning.bulk import recompute_all
from tests import builders as build
from tests.scheduling.rules import DAY, a_rule, every, follows, reckon

pytestmark = pytest.mark.django_db
FOUND = DAY - timedelta(days=5)
AT = build.instant("2027-06-01T12:00Z")


@pytest.fixture
def craft():
    """An aircraft with a check in three weeks, and a slide whose inspection is due long before."""
    kind = build.a_kind("SLIDE")
    unit = build.a_unit(build.a_part(kind=kind), manufactured_on=build.day("2024-12-15"))
    aircraft = follows(build.an_aircraft(of_type=build.an_aircraft_type("D1L-SLIDE", kind=kind)))
    build.installed(unit, build.at_position(aircraft), "2025-02-10")
    a_rule("OH-1", every(24, first_from="manufacture"))
    planned(aircraft, "A23", DAY + timedelta(days=21))
    planned(aircraft, "A24", DAY + timedelta(days=60))
    return aircraft


def planned(aircraft, name, on):
    Check.objects.create(
        aircraft=aircraft, name=name, starts_on=on, ends_on=on, station=aircraft.station
    )


def opened(craft, *, until, category="C", found=FOUND, place=None, **more):
    said = Opening("MEL 25-62-01 rev 12", "Light dim", found, until, category, **more)
    where = {"place": place} if place is not None else {"aircraft_id": craft.pk}
    return open_item(by=build.a_person("controller"), opening=said, act_id=uuid4(), at=AT, **where)


def rows(as_of=DAY, **asked):
    return list(due_rows(filters=DueFilters(**asked), as_of=as_of))


def of_items(as_of=DAY, **asked):
    return [row for row in rows(as_of, **asked) if row.work == "Open item"]


def reader():
    client = Client()
    client.force_login(build.a_person("controller"))
    return client


@pytest.fixture(params=["stored", "reckoned"])
def either(request):
    """The list as stored for the day, and as it is reckoned where no run was made."""
    return reckon if request.param == "stored" else lambda: None


def test_it_is_a_row_with_its_last_day_its_document_and_what_is_left(craft, either):
    item = opened(craft, until=DAY + timedelta(days=4), effect="Row 5 blocked")
    either()

    [row] = of_items()

    assert (row.registration, row.description) == (craft.registration, "Light dim")
    assert (row.limit, row.due_on, row.left_days) == (item.document, item.expires_on, 4)
    assert (row.band, row.check_name) == ("out-of-phase", "A23")
    assert row.notes == ("category C", "Row 5 blocked")
    assert not row.is_stale


def test_it_is_counted_in_its_band_and_in_what_grounds(craft, either):
    either()
    before = due_page(filters=DueFilters(), as_of=DAY)
    opened(craft, until=DAY - timedelta(days=1))
    opened(craft, until=DAY + timedelta(days=30), category="D")
    opened(craft, until=DAY + timedelta(days=2))

    page = due_page(filters=DueFilters(), as_of=DAY)

    more = {band: page.counts[band] - before.counts[band] for band in page.counts}
    assert {band: count for band, count in more.items() if count} == {
        "overdue": 1,
        "out-of-phase": 1,
        "next-check": 1,
    }
    assert (page.total - before.total, page.grounding - before.grounding) == (3, 1)


@pytest.mark.parametrize("down", [False, True], ids=["up", "down"])
@pytest.mark.parametrize("sort", [sort for sort, _ in SORTS])
def test_pages_walked_show_every_row_once_in_the_order_of_the_file(craft, either, sort, down):
    for days in (-3, -1, 0, 2, 9):
        opened(craft, until=DAY + timedelta(days=days), category="A")
    either()
    filters = DueFilters(sort=sort, is_descending=down)
    seen, mark = [], ""

    while True:
        page = due_page(filters=filters, as_of=DAY, mark=mark, limit=2)
        seen += [row.id for row in page.rows]
        if not page.next_after:
            break
        mark = page.next_after

    assert seen == [row.id for row in due_rows(filters=filters, as_of=DAY)]
    assert len(set(seen)) == len(seen) == 6


def test_a_page_back_shows_the_page_before(craft, either):
    for days in (-3, -1, 0, 2, 9):
        opened(craft, until=DAY + timedelta(days=days), category="A")
    either()
    first = due_page(filters=DueFilters(), as_of=DAY, limit=3)
    second = due_page(filters=DueFilters(), as_of=DAY, limit=3, mark=first.next_after)

    back = due_page(filters=DueFilters(), as_of=DAY, limit=3, mark=second.previous_before)

    assert [row.id for row in back.rows] == [row.id for row in first.rows]


@pytest.mark.parametrize(
    ("asked", "is_there"),
    [
        ({"until_on": DAY + timedelta(days=4)}, True),
        ({"until_on": DAY + timedelta(days=3)}, False),
        ({"band": "out-of-phase"}, True),
        ({"band": "overdue"}, False),
        ({"grounds": True}, False),
        ({"kind": "SLIDE"}, True),
        ({"work": "INSPECT"}, False),
    ],
    ids=str,
)
def test_filters_narrow_it(craft, either, asked, is_there):
    place = build.at_position(craft)
    opened(craft, until=DAY + timedelta(days=4), place=place)
    either()

    assert bool(of_items(**asked)) is is_there
    assert bool(of_items(aircraft=craft.registration, **asked)) is is_there
    assert not of_items(aircraft=build.an_aircraft().registration, **asked)


def test_the_row_of_a_position_names_it(craft, either):
    opened(craft, until=DAY + timedelta(days=4), place=build.at_position(craft))
    either()

    assert [row.position for row in of_items()] == ["D1L-SLIDE"]


def test_another_day_shows_what_was_or_will_be_open_then(craft, either):
    by = build.a_person("controller")
    shut = opened(craft, until=DAY + timedelta(days=1))
    kept = opened(craft, until=DAY + timedelta(days=3))
    close_item(by=by, open_item_id=shut.pk, words="Changed.", closed_on=DAY, act_id=uuid4(), at=AT)
    either()

    assert of_items(FOUND - timedelta(days=1)) == []
    assert [row.due_on for row in of_items(FOUND)] == [shut.expires_on, kept.expires_on]
    assert [row.due_on for row in of_items()] == [kept.expires_on]
    [later] = of_items(DAY + timedelta(days=10))
    assert (later.band, later.left_days, later.grounds_aircraft) == ("overdue", -7, True)


def test_an_extension_stands_for_the_item_it_extends_from_its_day(craft, either):
    by = build.a_person("controller")
    item = opened(craft, until=DAY + timedelta(days=4))
    until = DAY + timedelta(days=9)
    extend_item(
        by=by, open_item_id=item.pk, expires_on=until, approval="EXT-7", act_id=uuid4(), at=AT
    )
    either()

    assert [row.due_on for row in of_items(DAY - timedelta(days=1))] == [item.expires_on]
    [row] = of_items()
    assert row.due_on == until
    assert "extended: EXT-7" in row.notes


def test_it_is_explained(craft, either):
    opened(craft, until=DAY + timedelta(days=4))
    either()
    [row] = of_items()

    why = explanation(item_id=row.id, as_of=DAY)

    assert why.row == row
    assert any("27 May 2027" in step for step in why.steps)
    assert any("10 days" in step and "6 Jun 2027" in step for step in why.steps)
    assert why.document == "MEL 25-62-01 rev 12"
    page = reader().get(reverse("scheduling:due_item", args=[row.id]), {"as_of": DAY})
    assert "Light dim" in page.content.decode()


def test_the_files_and_the_command_have_it(craft, either, capsys):
    opened(craft, until=DAY + timedelta(days=4))
    either()
    asked = {"as_of": DAY.isoformat()}

    text = reader().get(reverse("scheduling:due_export", args=["csv"]), asked).getvalue()
    book = reader().get(reverse("scheduling:due_export", args=["xlsx"]), asked).content
    call_command("due", "--as-of", DAY.isoformat())

    lines = list(csv.DictReader(io.StringIO(text.decode().removeprefix("\ufeff"))))
    [line] = [line for line in lines if line["Work"] == "Open item"]
    assert (line["Due on"], line["Days remaining"]) == ("2027-06-05", "4")
    assert line["Description"] == "Light dim"
    cells = [row for row in openpyxl.load_workbook(io.BytesIO(book))["Due list"].values]
    assert [row[cells[0].index("Days remaining")] for row in cells if "Open item" in row] == [4]
    assert "Open item" in capsys.readouterr().out


def test_the_chosen_one_is_exported(craft, either):
    opened(craft, until=DAY + timedelta(days=4))
    either()
    [row] = of_items()

    assert [each.id for each in rows(ids=(row.id,))] == [row.id]


def test_the_api_and_the_page_have_it(craft, either):
    opened(craft, until=DAY + timedelta(days=4))
    either()
    asked = {"as_of": DAY.isoformat(), "aircraft": craft.registration}

    sent = reader().get("/api/v1/due-items", asked).json()
    page = reader().get(reverse("scheduling:due_list"), asked).content.decode()

    [item] = [each for each in sent["results"] if each["work"] == "Open item"]
    assert (item["due_on"], item["limit"]) == ("2027-06-05", "MEL 25-62-01 rev 12")
    assert sum(sent["counts"].values()) == len(sent["results"])
    assert f'id="due-{item["id"]}"' in page


def test_the_aircrafts_page_and_the_fleets_count_it_at_its_check(craft):
    planned(craft, "A21", today() + timedelta(days=5))
    said = Opening("MEL 1", "Light dim", today(), today() + timedelta(days=8), "C")
    open_item(
        by=build.a_person("controller"),
        opening=said,
        act_id=uuid4(),
        at=build.instant(f"{today()}T00:00Z"),
        aircraft_id=craft.pk,
    )

    recompute_all(as_of=today(), now=build.NOW)

    page = reader().get(reverse("fleet:aircraft", args=[craft.registration])).content.decode()
    fleet = reader().get(reverse("fleet:aircraft_list")).content.decode()

    assert "2 to do at it" in " ".join(page.split())
    assert "2 at next check" in " ".join(fleet.split())


def test_a_fixed_number_of_questions(craft, django_assert_max_num_queries):
    reckon()
    opened(craft, until=DAY)
    with django_assert_max_num_queries(60) as first:
        rows()
    for days in range(30):
        opened(craft, until=DAY + timedelta(days=days), category="A")

    with django_assert_max_num_queries(len(first)):
        rows()
