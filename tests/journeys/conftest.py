"""The demonstration as a person finds it: loaded through its own door, read in a real browser."""

from __future__ import annotations

from datetime import date

import pytest
from django.core.management import call_command
from playwright.sync_api import Page

from fleet.pages import today
from tests.kept import Kept, keep, put_back

PASSWORD = "greenband-demo"
_kept: dict[date, Kept] = {}


@pytest.fixture
def demonstration(transactional_db: None) -> None:
    """The invented operator, its dates moved to today: loaded once, then put back as it was."""
    day = today()
    if day in _kept:
        put_back(_kept[day])
    else:
        call_command("load_demo")
        _kept[day] = keep()


@pytest.fixture
def controller(demonstration: None, page: Page) -> Page:
    """The controller's browser, signed in, at the due list."""
    page.goto("/")
    page.get_by_label("Username").fill("controller")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.get_by_role("heading", name="Due list").wait_for()
    return page
