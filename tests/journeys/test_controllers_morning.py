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
    controller.get_by_role("link", name="before next check").click()
    expect(rows(controller).first).to_contain_text("before next check")
    expect(rows(controller)).to_have_count(count_of(controller, "before next check"))
    assert "band=out-of-phase" in controller.url

    # a row explains itself in place, by keyboard, and closes again
    press(controller, "ArrowDown")
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
    expect(rows(controller).first).to_contain_text("before next check")

    # what is exported is what is shown, or what is selected of it
    lines = exported(controller, "Export CSV", tmp_path)
    assert {line["Band"] for line in lines} == {"before next check"}
    assert len(lines) == len(shown)
    press(controller, "ArrowDown")
    press(controller, " ")
    expect(controller.locator("#picked")).to_have_text("1 selected")
    assert len(exported(controller, "Export CSV", tmp_path)) == 1


def test_a_filter_changes_the_list_and_a_further_page_follows(controller: Page) -> None:
    press(controller, "Alt+n")
    expect(controller.get_by_role("search").get_by_label("Station")).to_be_focused()
    controller.get_by_role("search").get_by_label("Aircraft", exact=True).select_option(index=1)
    registration = (
        controller.get_by_role("search").get_by_label("Aircraft", exact=True).input_value()
    )
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
    target = controller.locator(".plan-wide .plan-target").first
    code = str(target.get_attribute("aria-label")).partition(",")[0]
    target.click()
    beside = controller.get_by_role("complementary", name="The position chosen")
    expect(beside).to_contain_text(code)
    # one stop for the keyboard: arrows go from position to position
    expect(controller.locator(".plan-wide .plan-target[tabindex='0']")).to_have_count(1)
    beside.get_by_role("link").first.click()
    expect(controller.get_by_role("region", name="What it may be used for")).to_be_visible()
    controller.get_by_role("link", name="Past", exact=True).click()
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


@pytest.mark.parametrize(
    ("width", "height", "first_row"), [(1440, 900, 220), (390, 844, 260), (800, 1100, 330)]
)
def test_the_first_row_is_near_the_top_and_rows_are_low(
    controller: Page, width: int, height: int, first_row: int
) -> None:
    controller.set_viewport_size({"width": width, "height": height})
    controller.goto("/due/")

    box = rows(controller).first.bounding_box()
    assert box is not None
    assert box["y"] <= first_row
    head = controller.get_by_role("table", name="Due items").locator("thead")
    if width >= 800:
        assert box["height"] <= 32.5
        expect(head).to_be_visible()
    else:
        expect(head).to_be_hidden()
        labels = controller.evaluate(
            "[...document.querySelectorAll('tr[data-row] td[data-label]:not(:empty)')]"
            ".map(cell => getComputedStyle(cell, '::before').content)"
        )
        assert '"Due"' in labels and '"Remaining"' in labels


def test_a_selection_is_kept_from_page_to_page(controller: Page, tmp_path: Path) -> None:
    controller.locator("[data-pick-all]").check()
    expect(controller.locator("#picked")).to_have_text("50 selected")
    controller.get_by_role("link", name="Next page").click()
    expect(controller.locator(".page-number")).to_contain_text("Page 2 of")
    expect(controller.locator("#picked")).to_have_text("50 selected, 50 of them on other pages")
    rows(controller).first.locator("input[type=checkbox]").check()
    expect(controller.locator("#picked")).to_have_text("51 selected, 50 of them on other pages")

    assert len(exported(controller, "Export CSV", tmp_path)) == 51
    controller.get_by_role("button", name="Clear the selection").click()
    expect(controller.locator("#picked")).to_have_text("")


def test_a_day_is_picked_in_the_browser_and_written_in_words(controller: Page) -> None:
    field = controller.get_by_role("textbox", name="As of")
    picker = field.locator("xpath=following-sibling::input")
    picker.evaluate("(p) => { p.value = '2027-03-03'; p.dispatchEvent(new Event('change')); }")

    expect(field).to_have_value("3 Mar 2027")
    expect(controller.locator(".rows-foot")).to_contain_text("as of Wed 3 Mar 2027")
    assert "as_of=2027-03-03" in controller.url


def test_no_single_letter_does_anything_and_all_keys_can_be_switched_off(
    controller: Page,
) -> None:
    for letter in "jkxa/":
        press(controller, letter)
    expect(controller.locator("tr.is-here, tr.is-chosen, .why-row")).to_have_count(0)
    assert controller.url.endswith("/due/")

    controller.goto("/keys/")
    controller.get_by_label("Use these keys in this browser").uncheck()
    controller.goto("/due/")
    press(controller, "ArrowDown")
    expect(controller.locator("tr.is-here")).to_have_count(0)
