"""The sign-in page in a real browser: styled, within its own policy, accessible."""

import pytest
from django.urls import reverse

from tests.axe import faults_by_axe

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def test_the_sign_in_page_keeps_its_own_policy(page):
    page.goto(reverse("sign-in"))

    assert page.get_by_role("button", name="Sign in").is_visible()
    assert page.evaluate("document.fonts.ready.then(() => document.fonts.size)") > 0


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_sign_in_page_is_accessible(page, scheme):
    page.emulate_media(color_scheme=scheme)
    page.goto(reverse("sign-in"))

    report = faults_by_axe(page)

    assert not report, report
