"""An empty house's first day in one browser: own workbook, due list, first allocation, first swap; each step counted."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from equipment.models import Reservation, RuleSet, Step, StepList, Swap, Unit
from fleet.house.desks import ADMINISTRATOR, CONTROLLER, STORES, TECHNICIAN
from fleet.house.pages import today
from fleet.loading.work import drain
from fleet.models import Kind, User
from scheduling.reckoning.recompute import recompute_stale
from tests.builders import day
from tests.equipment.line_world import BEFORE, a_worker
from tests.fleet.own_sheets.books import BOOKS, written

from .by_hand import Hand
from .by_phone import read_step

pytestmark = [pytest.mark.browser, pytest.mark.slow]
PASSWORD = "an-office-of-its-own"
#: At most so many things typed and clicked, and so long at a browser's pace, to the due list and to the end.
DUE_LIST = (6, 16, 600)
WHOLE_DAY = (24, 40, 1500)


@pytest.fixture(autouse=True)
def kept_apart(settings, tmp_path: Path) -> None:
    settings.DATA_DIR = tmp_path / "data"
    settings.DATA_DIR.mkdir()


@pytest.fixture
def hand(transactional_db: None, page: Page) -> Hand:
    """One person of a small office, and nothing else on record."""
    roles = [CONTROLLER, ADMINISTRATOR, STORES, TECHNICIAN]
    User.objects.create_user("office", password=PASSWORD, roles=roles)
    a_worker("certifying", "sign_step", "inspect", "release")
    return Hand(page)


def approved_steps() -> None:
    """The engineering's approved step list, brought by its own sheets: of a slide, off and on."""
    RuleSet.objects.create(
        code="SIGN",
        revision="1",
        document="MOE-2.23",
        from_on=day("2020-01-01"),
        step_statement="I have done this step as the data require.",
        inspection_statement="I have inspected this step independently.",
        release_statement="I certify that the work was carried out as the data require.",
        recorded_at=BEFORE,
    )
    made = StepList.objects.create(
        code="SLIDE",
        revision="1",
        title="Slide: off and on",
        kind=Kind.objects.get(code="SLIDE"),
        document="CM-25",
        document_revision="1",
        from_on=day("2020-01-01"),
        recorded_at=BEFORE,
    )
    for number, (phase, posts) in enumerate(
        (("remove", "removal"), ("install", "installation")), 1
    ):
        words = f"Slide: {posts}."
        Step.objects.create(
            step_list=made, number=number, phase=phase, sort="confirm", words=words, posts=posts
        )


def job() -> None:
    """What the worker does meanwhile."""
    drain(now=timezone.now, today=today())
    recompute_stale(today())


def test_from_an_empty_house_to_the_first_swap(hand: Hand, tmp_path: Path) -> None:
    to_the_due_list(hand, tmp_path)
    hand.end()
    assert hand.typed <= DUE_LIST[0] and hand.clicked <= DUE_LIST[1], (hand.typed, hand.clicked)
    assert hand.steps[-1].at <= DUE_LIST[2]

    unit = a_first_allocation(hand)
    a_first_swap(hand, unit)

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


def a_first_allocation(hand: Hand) -> str:
    """A check planned, then the unit proposed for what falls due after it set aside. Its serial number."""
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

    hand.step("the first unit set aside")
    page.goto("/allocation/")
    hand.button("Accept")
    expect(page.get_by_role("status").first).to_contain_text("is set aside for")
    return Reservation.objects.get().unit.serial_number


def a_first_swap(hand: Hand, serial: str) -> None:
    page = hand.page
    approved_steps()
    position = Reservation.objects.get().position
    hand.step("the first swap recorded")
    page.goto(f"/aircraft/{position.aircraft.registration}/")
    hand.link(f"Record a swap at {position.type_position.code}")
    hand.types("Why", "Overhaul is due")
    hand.clicks(page.get_by_label(serial))
    hand.button("Begin")
    hand.link("Begin: step 1")
    hand.link("Record what came off")
    page.get_by_label("Because of").select_option("limit")
    hand.button("It is off")
    read_step(page)
    hand.button("Done")
    hand.link("Next")
    hand.link("Record what went on")
    hand.button("It is on")
    swap = Swap.objects.get()
    page.goto(f"/swaps/{swap.pk}/")
    expect(page.get_by_role("main")).to_contain_text(serial)
    position.refresh_from_db()
    assert serial in Unit.objects.filter(place__aircraft_position=position).values_list(
        "serial_number", flat=True
    )
