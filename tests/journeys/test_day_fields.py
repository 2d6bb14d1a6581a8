"""A day is typed, or picked in the browser's own calendar, which writes it in words."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from tests.equipment.line_world import crew

from .test_swap_by_phone import sign_in

pytestmark = [pytest.mark.browser, pytest.mark.slow]


def test_the_calendar_beside_a_day_is_the_browser_s_and_writes_words(
    transactional_db: None, page: Page
) -> None:
    crew()
    sign_in(page, "certifying")
    page.goto("/due/")
    field = page.locator("#id_until_on")
    picker = page.locator(".is-until_on input[aria-hidden]")

    expect(picker).to_have_attribute("type", "date")
    picker.evaluate(
        "picker => { picker.value = '2027-03-03'; picker.dispatchEvent(new Event('change')) }"
    )

    expect(field).to_have_value("3 Mar 2027")
