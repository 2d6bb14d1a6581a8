"""The clerk at the allocation: looks at a proposal, asks why not another unit, accepts; the shortage moves."""

from __future__ import annotations

import re

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from equipment.models import Reservation
from fleet.house.pages import today
from scheduling.allocation.acts.make import renew_if_stale
from scheduling.models import PairingRuling

from .conftest import PASSWORD, press
from .looks import refuse_faults

pytestmark = [pytest.mark.browser, pytest.mark.slow]
LOOKS = (
    ("light", 1440),
    ("dark", 1440),
    ("light", 390),
    ("dark", 800),
    ("light", 1920),
    ("light", 1180),
    ("light", 1280),
)


@pytest.fixture
def clerk(demonstration: None, page: Page) -> Page:
    """The stores clerk's browser, signed in, at the allocation."""
    page.goto("/")
    page.get_by_label("Username").fill("stores")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.get_by_role("navigation", name="Main").get_by_role("link", name="Parts").click()
    page.get_by_role("heading", name="Allocation").wait_for()
    return page


def short_of(page: Page) -> int:
    """After the job has made the proposal anew, where the act itself left that to it for want of time."""
    renew_if_stale(as_of=today(), at=timezone.now())
    page.goto("/shortage/")
    found = re.search(r"(\d+) of \d+ needs are short", page.locator("main").inner_text())
    assert found
    return int(found[1])


def count_of(page: Page, state: str) -> int:
    return int(
        page.get_by_label("Needs by state")
        .get_by_role("link", name=state)
        .locator("b")
        .inner_text()
    )


def test_the_clerk_asks_why_not_accepts_and_takes_it_back(clerk: Page) -> None:
    need = clerk.get_by_label("The need looked at")
    key = need.get_by_role("heading", level=2).inner_text()
    unit = need.locator(".pair-choice h3 a").inner_text()
    assert "needed on" in need.inner_text()

    # by keyboard to the next need and back
    press(clerk, "ArrowDown")
    expect(need.get_by_role("heading", level=2)).not_to_have_text(key)
    press(clerk, "ArrowUp")
    expect(need.get_by_role("heading", level=2)).to_have_text(key)

    # why not another: one that is in the list of those that may not go there
    need.locator("details.pair-unable summary").click()
    other = need.locator(".pair-unable a.code").first.inner_text()
    need.get_by_label("Part or serial number").fill(other)
    need.get_by_role("button", name="Ask").click()
    asked = need.get_by_label("Asked about")
    expect(asked).to_contain_text(f"{other} may not go there")
    assert asked.locator("li li").count() >= 1

    # accepted by keys; the next need is there, and the unit is set aside
    press(clerk, "Alt+a")
    expect(clerk.get_by_role("status")).to_contain_text(f"{unit} is set aside for {key}.")
    assert count_of(clerk, "set aside") == 1

    # and taken back
    clerk.get_by_label("Needs by state").get_by_role("link", name="set aside").click()
    expect(need).to_contain_text("Accepted")
    need.get_by_role("button", name="Take back").click()
    expect(clerk.get_by_role("status")).to_contain_text("taken back")


def test_a_prohibition_moves_the_shortage_and_taking_it_back_moves_it_again(clerk: Page) -> None:
    before = short_of(clerk)
    clerk.goto("/allocation/")
    need = clerk.get_by_label("The need looked at")
    # the first need has only one unit that may go there: what is said before comes true after
    expect(need.get_by_role("heading", name="If you forbid it").locator("..")).to_contain_text(
        "becomes short"
    )
    off = clerk.locator("tr.is-here .row-open").get_attribute("href")
    press(clerk, "Alt+f")
    expect(clerk.get_by_role("status")).to_contain_text("is no longer proposed")
    assert short_of(clerk) == before + 1

    clerk.goto(f"/allocation/{off}")
    clerk.get_by_role("button", name="Take back").click()
    expect(clerk.get_by_role("status")).to_contain_text("taken back")
    assert short_of(clerk) == before


def test_the_clerk_decides_without_any_script(clerk: Page, chromium, live_server) -> None:
    context = clerk.context.browser.new_context(base_url=live_server.url, java_script_enabled=False)
    context.add_cookies(clerk.context.cookies())
    plain = context.new_page()
    plain.goto("/allocation/")
    plain.get_by_role("button", name="Accept").click()
    assert "is set aside for" in plain.get_by_role("status").inner_text()
    context.close()


def test_every_page_is_accessible_and_within_its_width(clerk: Page) -> None:
    href = clerk.locator("tr[data-need] .row-open").nth(3).get_attribute("href")
    addresses = ("/allocation/", f"/allocation/{href}", "/shortage/", "/float/")
    refuse_faults(clerk, addresses, LOOKS)


@pytest.mark.parametrize("scanned", ["CCF-A12", "AFLJ1"])
def test_a_stray_scan_decides_nothing_and_is_read_as_a_scan(clerk: Page, scanned: str) -> None:
    clerk.wait_for_load_state("load")
    clerk.locator("body").click(position={"x": 2, "y": 2})

    clerk.keyboard.type(scanned, delay=4)
    clerk.keyboard.press("Enter")

    clerk.wait_for_url(lambda url: "/stores/" in url)
    assert not PairingRuling.objects.exists()
    assert not Reservation.objects.filter(reserved_by__username="stores").exists()


def test_letters_alone_decide_nothing(clerk: Page) -> None:
    for letter in "alfALF":
        press(clerk, letter)

    assert clerk.url.endswith("/allocation/")
    assert not PairingRuling.objects.exists()
