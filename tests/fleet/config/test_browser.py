"""The sign-in page in a real browser: styled, within its own policy, accessible."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def test_the_sign_in_page_keeps_its_own_policy(page):
    page.goto(reverse("sign-in"))

    assert page.get_by_role("button", name="Sign in").is_visible()
    assert page.evaluate("document.fonts.ready.then(() => document.fonts.size)") > 0


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_sign_in_page_is_accessible(page, scheme):
    page.emulate_media(color_scheme=scheme)
    page.goto(reverse("sign-in"))

    found = Axe().run(page)

    assert found.violations_count == 0, found.generate_report()
