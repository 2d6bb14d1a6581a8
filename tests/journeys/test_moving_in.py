"""From an empty house and an own spreadsheet to a due list, in a real browser: what is typed is counted."""

from __future__ import annotations

from pathlib import Path

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from fleet.house.desks import ADMINISTRATOR, CONTROLLER
from fleet.house.pages import today
from fleet.loading.work import drain
from fleet.models import Aircraft, User
from scheduling.models import DueItem
from scheduling.reckoning.recompute import recompute_stale
from tests.axe import faults_by_axe
from tests.fleet.own_sheets.books import BOOKS, written

pytestmark = [pytest.mark.browser, pytest.mark.slow]
PASSWORD = "an-office-of-its-own"
WIDTHS = (390, 1024, 1366, 1920)
FITS = "document.documentElement.scrollWidth <= innerWidth"


@pytest.fixture(autouse=True)
def kept_apart(settings, tmp_path: Path) -> None:
    settings.DATA_DIR = tmp_path / "data"
    settings.DATA_DIR.mkdir()


@pytest.fixture
def office(transactional_db: None, page: Page) -> Page:
    """People exist, and nothing else."""
    User.objects.create_user("office", password=PASSWORD, roles=[CONTROLLER, ADMINISTRATOR])
    page.goto("/")
    page.get_by_label("Username").fill("office")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.get_by_role("navigation", name="Main").wait_for()
    return page


def is_good(page: Page) -> None:
    """Fits every width; axe finds nothing on the narrowest and the widest."""
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate(FITS), (page.url, width)
        if width in (WIDTHS[0], WIDTHS[-1]):
            report = faults_by_axe(page)
            assert not report, (page.url, width, report)
    page.set_viewport_size({"width": 1440, "height": 900})


def works() -> None:
    drain(now=timezone.now, today=today())


def test_from_sign_in_to_the_own_due_list(office: Page, tmp_path: Path) -> None:
    page, typed = office, 0
    path = written(BOOKS["status"](), tmp_path / "Equipment status.xlsx")

    page.get_by_role("navigation", name="Main").get_by_role("link", name="Data loads").click()
    page.get_by_role("link", name="Bring the spreadsheet you have").click()
    is_good(page)
    page.get_by_label("Your spreadsheet (XLSX, ODS or CSV), as it is").set_input_files(path)
    page.get_by_role("button", name="Look at this spreadsheet").click()

    expect(page.get_by_role("heading", name="Equipment status.xlsx")).to_be_visible()
    assert page.locator("select.is-unsure").count() == 0
    is_good(page)
    page.get_by_role("button", name="These columns are right").click()

    is_good(page)
    page.get_by_role("button", name="These words are right").click()

    is_good(page)
    page.get_by_label("Station of the aircraft and spares").fill("QMB")
    page.get_by_label("Aircraft type, where the sheet does not say it").fill("T-100")
    typed += 2
    expect(page.get_by_text("19 of 19 lines add 36 months")).to_be_visible()
    page.get_by_role("button", name="Go on").click()

    expect(page.get_by_text("stands beside").first).to_be_visible()
    is_good(page)
    page.get_by_role("button", name="Go on to the comparison").click()

    is_good(page)
    page.get_by_role("button", name="Compare its dates with the reckoned ones").click()
    expect(page.get_by_text("You can leave this page and come back")).to_be_visible()
    works()
    expect(page.get_by_role("heading", name="dates beside the reckoned ones")).to_be_visible()
    expect(page.get_by_text("51 are the same")).to_be_visible()
    assert not Aircraft.objects.exists()
    is_good(page)

    page.get_by_role("button", name="Take all lines").click()
    works()
    recompute_stale(today())
    expect(page.get_by_text("Applied.")).to_be_visible()
    page.get_by_role("navigation", name="Main").get_by_role("link", name="Due", exact=True).click()
    expect(page.get_by_role("heading", name="Due list")).to_be_visible()
    expect(page.locator("tbody tr").first).to_contain_text("Q-AB")
    assert typed == 2
    assert DueItem.objects.exists()
