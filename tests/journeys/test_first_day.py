"""An empty house's first day in one browser: own workbook, due list, first checks planned; each step counted."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from fleet.house.desks import ADMINISTRATOR, CONTROLLER
from fleet.house.pages import today
from fleet.loading.work import drain
from fleet.models import User
from scheduling.reckoning.recompute import recompute_stale
from tests.fleet.own_sheets.books import BOOKS, written

from .by_hand import Hand

pytestmark = [pytest.mark.browser, pytest.mark.slow]
PASSWORD = "an-office-of-its-own"
#: At most so many things typed and clicked, and so long at a browser's pace, to the due list and to the end.
DUE_LIST = (6, 16, 600)
WHOLE_DAY = (12, 20, 900)


@pytest.fixture(autouse=True)
def kept_apart(settings, tmp_path: Path) -> None:
    settings.DATA_DIR = tmp_path / "data"
    settings.DATA_DIR.mkdir()


@pytest.fixture
def hand(transactional_db: None, page: Page) -> Hand:
    """One person of a small office, and nothing else on record."""
    roles = [CONTROLLER, ADMINISTRATOR]
    User.objects.create_user("office", password=PASSWORD, roles=roles)
    return Hand(page)


def job() -> None:
    """What the worker does meanwhile."""
    drain(now=timezone.now, today=today())
    recompute_stale(today())


def test_from_an_empty_house_to_the_due_list_and_the_first_checks(
    hand: Hand, tmp_path: Path
) -> None:
    to_the_due_list(hand, tmp_path)
    hand.end()
    assert hand.typed <= DUE_LIST[0] and hand.clicked <= DUE_LIST[1], (hand.typed, hand.clicked)
    assert hand.steps[-1].at <= DUE_LIST[2]

    checks_planned(hand)

    hand.tell()
    assert hand.typed <= WHOLE_DAY[0] and hand.clicked <= WHOLE_DAY[1], (hand.typed, hand.clicked)
    assert hand.steps[-1].at <= WHOLE_DAY[2]


def to_the_due_list(hand: Hand, tmp_path: Path) -> None:
    page = hand.page
    path = written(BOOKS["status"](), tmp_path / "Equipment status.xlsx")

    hand.step("signed in")
    page.goto("/")
    hand.types("Username", "office")
    hand.types("Password", PASSWORD)
    hand.button("Sign in")
    page.get_by_role("navigation", name="Main").wait_for()

    hand.step("the spreadsheet brought: columns proposed")
    page.goto("/setting-up/")
    hand.link("Bring a spreadsheet")
    page.get_by_label("Your spreadsheet (XLSX, ODS or CSV), as it is").set_input_files(path)
    hand.button("Look at this spreadsheet")
    assert page.locator("select.is-unsure").count() == 0
    hand.button("These columns are right")
    hand.button("These words are right")

    hand.step("what is missing answered")
    hand.types("Station of the aircraft and spares (a short code)", "QMB")
    hand.types("Aircraft type, where the sheet does not say it", "T-100")
    hand.button("Go on")
    hand.button("Go on to the comparison")

    hand.step("compared")
    hand.button("Compare its dates with the reckoned ones")
    job()
    expect(page.get_by_text("51 are the same")).to_be_visible()

    hand.step("taken: the due list")
    hand.button("Take all lines")
    job()
    expect(page.get_by_text("Applied.")).to_be_visible()
    page.goto("/due/")
    expect(page.locator("tbody tr").first).to_contain_text("Q-AB")


def checks_planned(hand: Hand) -> None:
    """Two checks, each shown with what it moves before it is saved."""
    page = hand.page
    hand.step("two checks planned")
    for name, days in (("A1", 20), ("A2", 420)):
        page.goto("/checks/Q-ABA/plan/")
        hand.types("Name", name)
        for label, plus in (("Starts on", 0), ("Ends on", 2)):
            on = today() + dt.timedelta(days=days + plus)
            hand.types(label, on.isoformat())
        hand.button("Show what it changes")
        hand.button("Plan the check")
        expect(page.get_by_role("main")).to_contain_text("The check is planned.")
    job()
