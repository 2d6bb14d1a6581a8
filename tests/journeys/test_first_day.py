"""An empty house's first day in one browser: own workbook, due list, first checks, the first unit set aside and the first
swap released; each step counted."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect
from pytest_django.live_server_helper import LiveServer

from equipment.models import Place, Reservation, Unit
from fleet.house.desks import ADMINISTRATOR, CONTROLLER, STORES
from fleet.house.pages import today
from fleet.loading.work import drain
from fleet.models import User
from scheduling.allocation.acts.make import renew_if_stale
from scheduling.reckoning.recompute import recompute_stale
from tests.builders_swaps import an_authorisation
from tests.equipment.stores.world import certified
from tests.fleet.own_sheets.books import BOOKS, written

from .by_hand import Hand
from .by_phone import sign_inspect_release, work_through
from .conftest import PASSWORD as LINE_PASSWORD
from .test_unit_round_the_loop import begin, signed_in

pytestmark = [pytest.mark.browser, pytest.mark.slow]
PASSWORD = "an-office-of-its-own"
#: At most so many things typed and clicked, and so long at a browser's pace, to the due list and to the end.
DUE_LIST = (6, 16, 600)
WHOLE_DAY = (16, 26, 900)


@pytest.fixture(autouse=True)
def kept_apart(settings, tmp_path: Path) -> None:
    settings.DATA_DIR = tmp_path / "data"
    settings.DATA_DIR.mkdir()


@pytest.fixture
def hand(transactional_db: None, page: Page) -> Hand:
    """One person of a small office, and nothing else on record."""
    roles = [CONTROLLER, ADMINISTRATOR, STORES]
    User.objects.create_user("office", password=PASSWORD, roles=roles)
    return Hand(page)


def job() -> None:
    """What the worker does meanwhile."""
    drain(now=timezone.now, today=today())
    recompute_stale(today())


def test_from_an_empty_house_to_the_due_list_and_the_first_swap(
    hand: Hand, tmp_path: Path, line: Page
) -> None:
    to_the_due_list(hand, tmp_path)
    hand.end()
    assert hand.typed <= DUE_LIST[0] and hand.clicked <= DUE_LIST[1], (hand.typed, hand.clicked)
    assert hand.steps[-1].at <= DUE_LIST[2]

    checks_planned(hand)
    off, on = first_set_aside(hand)
    how_changes_are_worked(hand)
    hand.step("the first swap released")
    first_swap(line, off, on)

    on.refresh_from_db()
    assert on.aircraft is not None and on.aircraft.registration == "Q-ABA"
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


def first_set_aside(hand: Hand) -> tuple[Unit, Unit]:
    """The most urgent need gets the unit proposed for it: (what comes off, what goes on)."""
    page = hand.page
    for spare in Unit.objects.filter(place__sort=Place.STORE):
        certified(spare, f"C-{spare.serial_number}")  # its papers come by the sheet of certificates
    renew_if_stale(as_of=today(), at=timezone.now())
    hand.step("the first unit set aside")
    page.goto("/allocation/")
    hand.button("Accept")
    expect(page.get_by_role("status").first).to_contain_text("set aside")
    held = Reservation.objects.get()
    return Unit.objects.get(place=held.place), held.unit


def how_changes_are_worked(hand: Hand) -> None:
    """A step list of the kind and rules of signing, begun from general ones by the approved data."""
    page = hand.page
    hand.step("a step list and rules of signing")
    page.goto("/step-lists/")
    hand.clicks(page.get_by_role("link", name="Begin a list for Escape slide"))
    hand.types("Approved data", "CMM 25-61-01")
    hand.types("Its revision", "3")
    hand.button("Begin the list")
    expect(page.get_by_text("The approved data governs.")).to_be_visible()
    page.goto("/setting-up/signing/")
    hand.types("Document", "MOE 2.16")
    hand.types("From", today().isoformat())
    hand.button("Save rules of signing")
    expect(page.get_by_text("It is on record.")).to_be_visible()


@pytest.fixture
def line(hand: Hand, live_server: LiveServer) -> Iterator[Page]:
    """The technician's phone; three people of the line, each authorised for what they sign."""
    for name, acts in (
        ("technician", ["sign_step"]),
        ("inspector", ["sign_step", "inspect"]),
        ("certifying", ["sign_step", "inspect", "release"]),
    ):
        person = User.objects.create_user(name, password=LINE_PASSWORD, roles=[name])
        an_authorisation(person, *acts, from_on=today(), until=today() + dt.timedelta(days=365))
    assert hand.page.context.browser
    size = {"width": 390, "height": 844}
    context = hand.page.context.browser.new_context(base_url=live_server.url, viewport=size)
    opened = context.new_page()
    opened.set_default_timeout(90_000)
    yield opened
    context.close()


def first_swap(phone: Page, off: Unit, on: Unit) -> None:
    signed_in(phone, "technician")
    position = off.place.aircraft_position if off.place else None
    assert position is not None
    swap = begin(phone, position.aircraft, position.type_position.code, on.serial_number)
    work_through(phone, swap)
    sign_inspect_release(phone, swap)
