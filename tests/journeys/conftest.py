"""The demonstration as a person finds it: loaded through its own door, read in a real browser."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page

from fleet.house.pages import today
from tests.kept import put_demonstration

PASSWORD = "greenband-demo"


@pytest.fixture
def demonstration(transactional_db: None, shared_folder: Path) -> None:
    """The invented operator, its dates moved to today."""
    put_demonstration(today(), shared_folder)


@pytest.fixture
def controller(demonstration: None, page: Page) -> Page:
    """The controller's browser, signed in, at the due list."""
    page.goto("/due/")
    page.get_by_label("Username").fill("controller")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.get_by_role("heading", name="Due list").wait_for()
    return page


def press(page: Page, key: str) -> None:
    """A key as a person presses it: once the page is whole, its scripts with it, and no next one at once."""
    page.wait_for_load_state("load")
    page.keyboard.press(key)
    page.wait_for_timeout(100)
