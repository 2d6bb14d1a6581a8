"""A walk-round finds another unit, the controller settles it as a change nobody recorded; at 390 pixels."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from equipment.models import Discrepancy, WalkRound
from fleet.models import User
from tests.equipment.line_world import PASSWORD, POSITION, Line, a_line, a_worker

from .looks import refuse_faults

pytestmark = [pytest.mark.browser, pytest.mark.slow]
PHONE = {"width": 390, "height": 844}
LOOKS = (("light", 390), ("dark", 390), ("dark", 1440))


@pytest.fixture
def line(transactional_db: None) -> Line:
    a_worker("technician", "sign_step")
    a_worker("controller")
    return a_line()


def sign_in(page: Page, name: str) -> None:
    page.goto("/sign-in/")
    page.get_by_label("Username").fill(name)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.locator("a.who").wait_for()


def walk(page: Page, line: Line) -> None:
    """From the aircraft's page round its one position, where another unit is."""
    page.goto(f"/aircraft/{line.aircraft.registration}/")
    page.get_by_role("link", name="Start walk-round").click()
    page.get_by_role("button", name="Begin at the nose").click()
    expect(page.get_by_role("heading", name=POSITION)).to_be_visible()
    page.get_by_label("Scan or type what is there").fill("HLY-OW-210 00533")
    page.get_by_text("In the band").click()
    page.get_by_role("button", name="Save, next").click()
    expect(page.get_by_text("noted for the controller")).to_be_visible()
    expect(page.locator("#differences")).to_contain_text("00533")


def settle(page: Page, line: Line) -> None:
    page.goto("/discrepancies/")
    page.get_by_role("link", name="Settle").first.click()
    page.get_by_label("Day it happened").first.fill("2026-03-01")
    page.get_by_label("Document that says so").first.fill("LOG 4711")
    expect(page.get_by_label("It went to").first).to_have_value("quarantine")
    page.get_by_role("button", name="Settle it so").first.click()
    expect(page.get_by_text("settled.").first).to_be_visible()


def test_another_unit_is_found_and_both_histories_come_out_right(page: Page, line: Line) -> None:
    page.set_viewport_size(PHONE)
    sign_in(page, "technician")
    walk(page, line)
    page.goto(f"/aircraft/{line.aircraft.registration}/")
    expect(page.get_by_role("region", name="Not releasable")).to_contain_text("00533")
    page.locator("a.who").click()
    page.get_by_role("main").get_by_role("button", name="Sign out").click()

    sign_in(page, "controller")
    settle(page, line)

    page.goto(f"/units/{line.new.pk}/")
    expect(page.locator("main")).to_contain_text(f"installed at {line.aircraft} {POSITION}")
    page.goto(f"/units/{line.old.pk}/")
    expect(page.locator("main")).to_contain_text("removed to quarantine QTLH")
    page.goto(f"/aircraft/{line.aircraft.registration}/")
    expect(page.get_by_role("region", name="Not releasable")).to_have_count(0)


def test_every_screen_is_accessible_and_within_its_width(page: Page, line: Line) -> None:
    page.set_viewport_size(PHONE)
    sign_in(page, "technician")
    walk(page, line)
    User.objects.filter(username="technician").update(roles=["technician", "controller"])
    walked, found = WalkRound.objects.get(), Discrepancy.objects.get()
    assert found.place is not None
    position = found.place.aircraft_position_id
    addresses = [
        "/walk-rounds/",
        f"/walk-rounds/{walked.pk}/",
        f"/walk-rounds/{walked.pk}/at/{position}/",
        f"/discrepancies/{found.pk}/",
    ]

    refuse_faults(page, addresses, LOOKS)
