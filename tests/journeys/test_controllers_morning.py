"""The maintenance controller's morning, from sign-in to an exported list, in a real browser."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from playwright.sync_api import Locator, Page, expect

from .conftest import press
from .looks import refuse_faults

pytestmark = [pytest.mark.browser, pytest.mark.slow]


def rows(page: Page) -> Locator:
    return page.locator("tr[data-row]")


def count_of(page: Page, band: str) -> int:
    return int(page.get_by_role("link", name=band).locator("b").inner_text().replace("\u202f", ""))


def exported(page: Page, button: str, folder: Path) -> list[dict[str, str]]:
    with page.expect_download() as download:
        page.get_by_role("button", name=button).click()
    path = folder / download.value.suggested_filename
    download.value.save_as(path)
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def test_from_sign_in_to_an_exported_list(controller: Page, tmp_path: Path) -> None:
    # the most urgent stand first, and the counts on top filter
    expect(rows(controller).first).to_contain_text("overdue")
    overdue = count_of(controller, "overdue")
    controller.get_by_role("link", name="out of phase").click()
    expect(rows(controller).first).to_contain_text("out of phase")
    expect(rows(controller)).to_have_count(count_of(controller, "out of phase"))
    assert "band=out-of-phase" in controller.url

    # a row explains itself in place, by keyboard, and closes again
    press(controller, "j")
    press(controller, "Enter")
    why = controller.locator(".why-row")
    expect(why).to_contain_text("How it is worked out")
    assert why.locator("ol li").count() >= 2
    press(controller, "Escape")
    expect(why).to_have_count(0)

    # a link reproduces the view, and going back brings the list before it
    shown = rows(controller).all_inner_texts()
    controller.goto(controller.url)
    assert rows(controller).all_inner_texts() == shown
    controller.get_by_role("link", name="overdue").click()
    expect(rows(controller)).to_have_count(overdue)
    controller.go_back()
    expect(rows(controller).first).to_contain_text("out of phase")

    # what is exported is what is shown, or what is selected of it
    lines = exported(controller, "Export CSV", tmp_path)
    assert {line["Band"] for line in lines} == {"out of phase"}
    assert len(lines) == len(shown)
    press(controller, "j")
    press(controller, "x")
    expect(controller.locator("#picked")).to_have_text("1 selected")
    assert len(exported(controller, "Export CSV", tmp_path)) == 1


def test_a_filter_changes_the_list_and_a_further_page_follows(controller: Page) -> None:
    press(controller, "/")
    expect(controller.get_by_label("Station")).to_be_focused()
    controller.get_by_label("Aircraft", exact=True).select_option(index=1)
    registration = controller.get_by_label("Aircraft", exact=True).input_value()
    expect(controller.locator("tr[data-row] .code").first).to_have_text(registration)
    assert f"aircraft={registration}" in controller.url

    first_page = rows(controller).all_inner_texts()
    controller.get_by_role("link", name="Next page").click()
    expect(controller.get_by_role("link", name="Page before")).to_be_visible()
    assert not set(first_page) & set(rows(controller).all_inner_texts())
    controller.get_by_role("link", name="Page before").click()
    expect(rows(controller).first).to_have_text(first_page[0], use_inner_text=True)


def test_from_an_aircraft_to_what_is_fitted_there(controller: Page) -> None:
    main = controller.get_by_role("navigation", name="Main")
    main.get_by_role("link", name="Aircraft").click()
    controller.get_by_role("heading", name="Aircraft").wait_for()
    registration = controller.locator(".row-open").first.inner_text()
    controller.get_by_role("link", name=registration).click()
    expect(controller.get_by_role("heading", level=1)).to_have_text(registration)
    controller.locator(".plan-wide .plan-target").first.click()
    expect(controller.locator("tr:target")).to_be_visible()
    controller.locator("tr:target a").first.click()
    expect(controller.get_by_role("heading", name="Whole history")).to_be_visible()


SCREENS = ("/today/", "/due/", "/due/?band=no-basis", "/aircraft/", "/units/?text=B08")
LOOKS = (
    ("light", 1440),
    ("dark", 1440),
    ("light", 390),
    ("dark", 800),
    ("light", 1180),
    ("light", 1280),
)


def test_every_screen_is_accessible_and_within_its_width(controller: Page) -> None:
    hrefs = [
        controller.locator(selector).first.get_attribute("href")
        for selector in ("td a[href^='/aircraft/']", "td a[href^='/units/']", ".row-open")
    ]

    refuse_faults(controller, (*SCREENS, *hrefs), LOOKS)
