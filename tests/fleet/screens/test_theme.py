"""Light, dark, or as the device has it: chosen by a button, kept in the browser."""

import pytest
from django.urls import reverse
from playwright.sync_api import expect

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def test_the_button_goes_from_theme_to_theme_and_back(page):
    page.goto(reverse("sign-in"))
    button, worn = page.locator("#theme"), page.locator("html")

    said = []
    for _ in range(4):
        said.append((button.get_attribute("aria-label"), worn.get_attribute("data-theme")))
        button.click()

    assert said == [
        ("Theme: device", None),
        ("Theme: light", "light"),
        ("Theme: dark", "dark"),
        ("Theme: device", None),
    ]
    expect(button).to_have_accessible_name("Theme: light")


def test_what_was_chosen_is_worn_before_the_page_is_drawn(page):
    page.goto(reverse("sign-in"))
    page.locator("#theme").click()
    # Modules come after the page: what is worn without them was worn before it.
    page.route("**/theme-button*.js", lambda route: route.abort())

    page.reload()

    assert page.locator("html").get_attribute("data-theme") == "light"
