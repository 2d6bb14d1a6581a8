"""Page, command, export, API and stored items say the same of the same day; no page asks more for more rows."""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import openpyxl
import pytest
from django.core.management import call_command
from django.db import connection
from django.test import Client, TransactionTestCase
from django.test.utils import CaptureQueriesContext
from pytest_django.plugin import DjangoDbBlocker

from equipment.models import Unit
from fleet.house.pages import today
from fleet.models import Aircraft, User
from fleet.words.said import MINUS
from scheduling.due.open_items.ends import open_ends
from scheduling.due.open_items.listed import key_of
from scheduling.engine.basis.bands import Band
from scheduling.models import DueItem
from tests.kept import put_demonstration

pytestmark = [pytest.mark.django_db, pytest.mark.slow]

FILTERS = ("", "band=overdue", "band=no-basis", "aircraft=Q7-VAD", "station=QVMR&band=next-check")
ROW_IDS = re.compile(r'id="due-(\d+)"')
NEXT = re.compile(r'href="(\?[^"]*mark=[^"]*)"[^>]*rel="next"')


@pytest.fixture(scope="module")
def demonstration(
    django_db_setup: None, django_db_blocker: DjangoDbBlocker, shared_folder: Path
) -> Iterator[None]:
    """Of today; the tables are emptied after the last test."""
    with django_db_blocker.unblock():
        put_demonstration(today(), shared_folder)
        yield
        TransactionTestCase(methodName="__init__")._fixture_teardown()


@pytest.fixture
def desk(demonstration: None, db: None, client: Client) -> Client:
    client.force_login(
        User.objects.get(username="controller"), "django.contrib.auth.backends.ModelBackend"
    )
    return client


def exported(desk: Client, query: str) -> list[dict[str, str]]:
    answer = desk.get(f"/due/export/csv/?{query}")
    text = b"".join(answer.streaming_content).decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text)))


def commanded(**options: object) -> list[dict[str, object]]:
    said = io.StringIO()
    call_command("due", format="json", stdout=said, **options)
    return [json.loads(line) for line in said.getvalue().splitlines()]


def pages(desk: Client, query: str) -> list[int]:
    """The items of every page of the screen, in order."""
    found: list[int] = []
    address: str | None = f"?{query}"
    while address:
        page = desk.get("/due/" + address).content.decode()
        found += map(int, ROW_IDS.findall(page))
        following = NEXT.search(page)
        address = following.group(1).replace("&amp;", "&") if following else None
    return found


def options_of(query: str) -> dict[str, str]:
    return dict(pair.split("=") for pair in query.split("&") if pair)


@pytest.mark.parametrize("query", FILTERS)
def test_screen_command_and_export_list_the_same_items_in_the_same_order(
    desk: Client, query: str
) -> None:
    on_screen = pages(desk, query)
    by_command = commanded(**options_of(query))
    in_file = exported(desk, query)

    assert on_screen == [line["id"] for line in by_command]
    assert len(on_screen) == len(set(on_screen)) == len(in_file)
    told = [(line["serial_number"], line["work"], line["due_on"] or "") for line in by_command]
    assert told == [(line["Serial number"], line["Work"], line["Due on"]) for line in in_file]


def test_what_is_stored_is_what_is_shown(desk: Client) -> None:
    stored = {item.pk: (item.due_on, item.worst_on) for item in DueItem.objects.all()}

    shown = {
        line["id"]: (
            line["due_on"] and date.fromisoformat(line["due_on"]),
            line["worst_on"] and date.fromisoformat(line["worst_on"]),
        )
        for line in commanded()
    }

    # Open items are not stored: their last days are facts.
    of_open = {key_of(end): (end.due_on, None) for end in open_ends(today())}

    assert len(shown) > 1500
    assert shown == {key: (stored | of_open)[key] for key in shown}
    assert of_open.keys() <= shown.keys()


def test_another_day_is_reckoned_alike_by_screen_command_and_export(desk: Client) -> None:
    day = today() + timedelta(days=60)
    query = f"as_of={day.isoformat()}&aircraft=Q7-VAD"

    on_screen = pages(desk, query)
    by_command = commanded(as_of=day, aircraft="Q7-VAD")

    assert on_screen == [line["id"] for line in by_command]
    assert len(exported(desk, query)) == len(on_screen)


def test_the_workbook_holds_what_the_csv_holds(desk: Client) -> None:
    answer = desk.get("/due/export/xlsx/?band=overdue")
    book = openpyxl.load_workbook(io.BytesIO(answer.content))

    head, *lines = book["Due list"].iter_rows(values_only=True)

    serials = [line[head.index("Serial number")] or "" for line in lines]
    assert serials == [line["Serial number"] for line in exported(desk, "band=overdue")]


def test_what_is_left_in_the_unit_s_own_measure_is_said_at_every_door(desk: Client) -> None:
    """A battery used 1:01 hours, of one hour allowed; no date can be put to it."""
    line = next(one for one in commanded(band="overdue") if one["serial_number"] == "C0061")

    in_file = next(one for one in exported(desk, "band=overdue") if one["Serial number"] == "C0061")
    by_api = desk.get(f"/api/v1/due-items/{line['id']}/explanation").json()["item"]
    page = desk.get(f"/due/{line['id']}/").content.decode()
    unit = desk.get(f"/units/{by_api['unit']}/").content.decode()

    assert (line["due_on"], line["left_other"], line["other_is_hours"]) == (None, -1, True)
    assert (by_api["left_other"], by_api["due_at_other"]) == (-1, 60)
    assert (in_file["Own measure remaining"], in_file["Due at own measure"]) == (
        f"{MINUS}0:01",
        "1:00",
    )
    assert all(f"{MINUS}0:01 {line['other_measure']}" in text for text in (page, unit))


def test_a_stretch_on_an_aircraft_is_told_by_registration_and_position(desk: Client) -> None:
    line = next(one for one in commanded() if one["due_at_hours"] and one["position"])

    said = " ".join(line["explanation"])

    assert f"On {line['registration']}, {line['position']}, from " in said


def test_a_selection_is_exported_alone(desk: Client) -> None:
    first, second, *_ = pages(desk, "band=next-check")

    lines = exported(desk, f"band=next-check&id={first}&id={second}")

    assert len(lines) == 2


def test_opening_a_row_tells_what_the_command_tells(desk: Client) -> None:
    line = commanded(band="out-of-phase")[0]

    page = desk.get(f"/due/{line['id']}/", headers={"HX-Request": "true"}).content.decode()

    text = re.sub(r"<[^>]+>", "", page).replace("&#x27;", "'").replace("&quot;", '"')
    assert all(step in text.replace("&amp;", "&") for step in line["explanation"])


@pytest.mark.parametrize(
    "query", ["aircraft=QK-NONE", "until_on=3/3/27", "band=late", "mark=nonsense", "sort=luck"]
)
def test_a_view_that_makes_no_sense_is_told_so_and_shows_no_list(desk: Client, query: str) -> None:
    page = desk.get(f"/due/?{query}")

    assert page.status_code == 200
    assert 'role="alert"' in page.content.decode()
    assert not ROW_IDS.search(page.content.decode())


def test_a_due_item_that_is_no_more_is_a_page_that_says_so(desk: Client) -> None:
    assert desk.get("/due/1/").status_code == 404
    assert desk.get("/due/1/?as_of=1926-01-01").status_code == 404


def asked(desk: Client, address: str) -> int:
    """How many queries a page needs, once everything of the first time is in place."""
    desk.get(address)
    with CaptureQueriesContext(connection) as queries:
        assert desk.get(address).status_code == 200
    return len(queries)


def test_no_page_asks_more_for_more_rows(desk: Client) -> None:
    aircraft = Aircraft.objects.order_by("registration").values_list("registration", flat=True)[:1]
    unit = Unit.objects.get(serial_number="B0815").pk
    ceilings = {
        "/due/": 32,  # and fitted cylinders that no limit covers, and kept views
        "/today/": 66,  # and needs without a unit, robbed positions, records to reconcile
        "/my-work/": 25,
        "/due/?band=overdue": 31,
        f"/due/?as_of={today() + timedelta(days=30)}": 56,
        "/aircraft/": 32,  # works that failed, what must be on board, what is repeated while an item is open, what left, what has no limit
        f"/aircraft/{aircraft[0]}/": 59,
        "/units/?text=B": 9,
        "/units/?text=B0815": 9,
        # What it may be used for, what ends first and its hours since overhaul each reckon it anew: four readings.
        f"/units/{unit}/": 127,  # what it grounds, what it may be used for, what is stamped on it, too
        "/loads/": 6,
    }

    needed = {address: asked(desk, address) for address in ceilings}

    over = {address: count for address, count in needed.items() if count > ceilings[address]}
    # Once a minute a request notes that its person was here: on a slow machine it may be the one counted.
    assert not {address for address in over if asked(desk, address) > ceilings[address]}, over
    assert needed["/units/?text=B"] == needed["/units/?text=B0815"]


def test_every_urgent_item_of_an_aircraft_stands_before_one_of_its_checks(desk: Client) -> None:
    """One that is over by a meter has no date, and is before the next check in any case."""
    over = DueItem.objects.get(aircraft__registration="Q7-VAC", band=Band.OVERDUE, due_on=None)

    checks = desk.get("/aircraft/Q7-VAC/").content.decode()

    listed = checks[checks.index('id="check-') :]
    assert f"/due/{over.pk}/" in listed
    assert "Runs out before it" in listed


def test_an_explanation_of_another_day_says_so_and_begins_no_swap(desk: Client) -> None:
    item = DueItem.objects.filter(aircraft__registration="Q7-VAE", unit__isnull=False).first()
    assert item is not None
    past = today() - timedelta(days=30)

    now = desk.get(f"/due/{item.pk}/").content.decode()
    then = desk.get(f"/due/{item.pk}/?as_of={past}").content.decode()

    assert "Record a swap" in now and "Shown as on" not in now
    assert "Record a swap" not in then and "Shown as on" in then
    assert f'href="/due/?as_of={past}">Due list</a>' in then
    assert '"life-sheet-end">today' not in then


def test_of_clocks_of_which_the_later_decides_the_others_are_said_to_be_earlier(
    desk: Client,
) -> None:
    items = DueItem.objects.filter(limit__code__startswith="FPS", aircraft__isnull=False)[:40]

    pages = [desk.get(f"/due/{item.pk}/").content.decode() for item in items]

    assert any("earlier</small>" in page for page in pages)
    assert not any(
        f"{MINUS}" in page.split("life-sheet", 1)[-1].split("why-columns")[0] for page in pages
    )
