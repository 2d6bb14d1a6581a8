"""What to order and why: least stock from the proven float, reorder point with chance, less what is good and coming."""

from __future__ import annotations

import io
from uuid import uuid4

import pytest
from openpyxl import load_workbook

from equipment.buying.acts.requests import NewRequest, request_purchase
from scheduling.allocation.reads.ordering import COLUMNS, to_buy
from tests.api.conftest import administrator, program, secret_of  # noqa: F401

from . import world as here

pytestmark = pytest.mark.django_db


@pytest.fixture
def world(db):
    """Two slides come off on one day and are back after 73; five more a year by chance; one good in store."""
    world = here.a_world()
    world.a_spare()
    here.a_rule_of_stock(turn_days=73, unplanned_a_year=5, fill_rate="0.9")
    return world


def test_least_stock_is_the_float_and_the_reorder_point_has_chance_besides(world):
    [one] = to_buy(world.propose(), here.DAY)

    # Both out from 5 July on: two, proven. A mean of one away asks three for nine of ten (0.9197).
    assert (one.least, one.reorder_at, one.good, one.coming, one.to_order) == (2, 5, 1, 0, 4)
    assert one.parts == ("HS-100",)
    assert "2 removals planned, 2 out at one time" in one.why
    assert "3 more for 5.0 removals a year that nobody plans, the shop taking 73 days" in one.why


def test_what_is_asked_for_is_taken_off(world):
    wanted = NewRequest("HS-100", 3, "Short.")
    facts = {"act_id": uuid4(), "at": here.AT, "today": here.DAY}
    request_purchase(by=world.clerk, wanted=wanted, **facts)

    [one] = to_buy(world.propose(), here.DAY)

    assert (one.coming, one.to_order) == (3, 1)


def test_without_a_rate_it_says_so(db):
    [one] = to_buy(here.a_world().propose(), here.DAY)

    assert one.least == one.reorder_at == 2
    assert "no rate of removals that nobody plans is entered" in one.why


def test_page_files_and_api_say_the_same(world, client, program):  # noqa: F811
    [one] = to_buy(world.propose(), here.DAY)
    client.force_login(world.clerk)

    said = client.get("/what-to-order/").content.decode()
    text = client.get("/what-to-order/file/csv/").content.decode("utf-8-sig")
    book = load_workbook(io.BytesIO(client.get("/what-to-order/file/xlsx/").content))
    [row] = program("controller").get("/api/v1/allocation/to-order").json()["results"]

    assert one.why in said and "/stores/buying/?part_number=HS-100&amp;quantity=4" in said
    assert one.why in text and text.splitlines()[0].startswith("Family,Parts,Kind")
    sheet = book.worksheets[0]
    assert [cell.value for cell in sheet[1]] == list(COLUMNS)
    assert [cell.value for cell in sheet[2]] == one.cells
    assert (row["to_order"], row["why"]) == (4, one.why)
    assert client.get("/what-to-order/file/pdf/").status_code == 404
