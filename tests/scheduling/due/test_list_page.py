"""The due list's page: one line of filters, pages that are counted, columns that are remembered, what is selected."""

from __future__ import annotations

import re
from datetime import timedelta
from uuid import uuid4

import pytest
from django.urls import reverse

from equipment.models import OpenItem
from fleet.house.pages import today
from fleet.words.said import weekday_words
from scheduling.due.pages import shown
from scheduling.due.pages.columns import COLUMNS, USUAL, chosen
from tests.builders import NOW, a_person, an_aircraft
from tests.equipment.line_world import signed_in

pytestmark = pytest.mark.django_db
LIST = reverse("scheduling:due_list")


@pytest.fixture
def desk():
    return signed_in(a_person("controller"))


@pytest.fixture
def five(monkeypatch):
    """Five open items, two a page."""
    monkeypatch.setattr(shown, "PAGE_ROWS", 2)
    aircraft, by = an_aircraft(), a_person()
    for days in range(5):
        OpenItem.objects.create(
            act_id=uuid4(),
            aircraft=aircraft,
            document="MEL 25-62-01 rev 12",
            words=f"Vest {days}",
            found_on=today() - timedelta(days=60),
            expires_on=today() + timedelta(days=days),
            recorded_at=NOW,
            recorded_by=by,
        )


def text(answer) -> str:
    return answer.content.decode()


def ids_on(page: str) -> list[str]:
    return re.findall(r'name="id" value="(\d+)"', page)


def following(page: str, rel: str) -> str:
    return re.search(rf'href="([^"]+)"[^>]*rel="{rel}"', page)[1].replace("&amp;", "&")


def test_pages_are_counted_and_walked_by_their_number(desk, five):
    first = text(desk.get(LIST))
    second = text(desk.get(LIST + following(first, "next")))
    third = text(desk.get(LIST + following(second, "next")))

    for number, page in enumerate((first, second, third), start=1):
        assert f"Page {number} of 3" in page
    assert len({*ids_on(first), *ids_on(second), *ids_on(third)}) == 5
    assert following(third, "first") == "?"
    assert ids_on(text(desk.get(LIST + following(second, "prev")))) == ids_on(first)


def test_a_page_number_that_is_none_breaks_nothing(desk, five):
    mark = following(text(desk.get(LIST)), "next").split("&page=")[0]

    for number in ("x", "-1", "9" * 40, ""):
        assert desk.get(f"{LIST}{mark}&page={number}").status_code == 200


def test_every_cell_has_its_label_for_a_card(desk, five):
    page = text(desk.get(LIST, {"columns": [column.code for column in COLUMNS]}))
    row = page[page.index("<tr data-row") :]
    row = row[: row.index("</tr>")]

    for cell in re.findall(r"<td[^>]*>", row):
        unlabelled = ("pick", "of-band", "of-line")
        assert "data-label=" in cell or any(name in cell for name in unlabelled), cell


def test_columns_chosen_are_remembered_and_those_a_row_needs_are_always_there(desk, five):
    page = text(desk.get(LIST, {"columns": ["band", "limit"]}))
    again = text(desk.get(LIST))

    for answer in (page, again):
        heads = re.findall(r'<th role="columnheader" class="of-([a-z]+)', answer)
        assert heads == ["band", "work", "limit", "due"]


@pytest.mark.parametrize("kept", ["<script>", "band.nothing.limit", "." * 3000])
def test_a_strange_cookie_shows_columns_that_there_are(desk, five, kept):
    desk.cookies["due-columns"] = kept

    answer = desk.get(LIST)

    assert answer.status_code == 200
    assert "<script>" not in re.findall(r'<th role="columnheader" class="of-([^"]+)', text(answer))


def test_usual_columns_are_in_the_order_of_the_page():
    assert chosen(reversed(USUAL)) == USUAL


@pytest.mark.parametrize("form", ["csv", "xlsx"])
def test_what_is_selected_on_any_page_is_exported_whatever_the_filter_shows(desk, five, form):
    first = text(desk.get(LIST))
    second = text(desk.get(LIST + following(first, "next")))
    picked = [*ids_on(first)[:1], *ids_on(second)]
    export = reverse("scheduling:due_export", args=[form])

    answer = desk.post(export, {"id": picked, "band": "overdue"})

    assert answer.status_code == 200
    if form == "csv":
        lines = b"".join(answer.streaming_content).decode("utf-8-sig").splitlines()
        assert len(lines) == 1 + 3


def test_the_print_says_what_is_on_it(desk, five):
    page = text(desk.get(LIST, {"band": "out-of-phase", "as_of": f"{today():%Y-%m-%d}"}))

    assert f"as of <strong>{weekday_words(today())}</strong>" in page
    assert "Band: before next check." in page
