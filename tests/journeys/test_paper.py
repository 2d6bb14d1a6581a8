"""Paper, as Chromium prints it: tables with their head on every sheet, whole rows, the day, sheets that are counted."""

from __future__ import annotations

import re
from collections import Counter

import pytest
from playwright.sync_api import Page

from tests.pdf_text import sheets_of

pytestmark = [pytest.mark.browser, pytest.mark.slow]


def printed(page: Page, address: str) -> list[str]:
    page.goto(address)
    return sheets_of(page.pdf(prefer_css_page_size=True))


def test_the_due_list_on_paper(controller: Page) -> None:
    controller.goto("/due/?as_of=2027-03-03")
    rows = controller.locator("tr[data-row]")
    units = Counter(
        text for text in rows.locator(".of-unit").all_inner_texts() if text.strip() != ""
    )

    sheets = printed(controller, "/due/?as_of=2027-03-03")

    # as cards it was 13 sheets for 50 rows
    assert len(sheets) <= 3
    for number, sheet in enumerate(sheets, start=1):
        assert f"Sheet {number} of {len(sheets)}" in sheet
        assert "Due list as of Wed 3 Mar 2027" in sheet
        assert "Page 1 of" in sheet
        assert re.search(r"Band .{0,2} ?Aircraft Position P/N S/N Work Due Remaining Check", sheet)
    # every unit is there, as often as on the screen: no row is lost between two sheets
    whole = " ".join(sheets)
    assert all(whole.count(unit) >= count for unit, count in units.items())
    assert "Export" not in whole and "Sign out" not in whole
    assert "Invented demonstration data" in sheets[0]
    assert re.search(r"Printed \d+ \w{3} \d{4} \d\d:\d\d UTC by", sheets[0])


def test_the_filters_are_on_paper_and_the_colours_kept(controller: Page) -> None:
    sheets = printed(controller, "/due/?band=overdue")
    assert "Band: overdue" in sheets[0]

    controller.emulate_media(media="print")
    colour = controller.locator(".state.tone-overdue").first.evaluate(
        "e => getComputedStyle(e).color"
    )
    assert colour == "rgb(176, 16, 74)"

    stock = printed(controller, "/units/?text=B08")
    assert "B08" in stock[0]


@pytest.mark.parametrize(
    ("address", "most"),
    [("/aircraft/", 2), ("/today/", 4), ("/shortage/", 7), ("/units/?text=B08", 2)],
)
def test_other_lists_on_paper(controller: Page, address: str, most: int) -> None:
    sheets = printed(controller, address)

    assert len(sheets) <= most
    for number, sheet in enumerate(sheets, start=1):
        assert f"Sheet {number} of {len(sheets)}" in sheet
    assert "as of" in sheets[0]
    assert "Sign out" not in " ".join(sheets)
    # a first sheet with nothing but its head was once printed before every list
    assert len(sheets[0]) > 400
