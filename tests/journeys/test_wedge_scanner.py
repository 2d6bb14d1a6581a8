"""A morning at the counter with a wedge scanner and no mouse: keys at a scanner's real speed, wherever the focus is."""

from __future__ import annotations

from uuid import uuid4

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from equipment.keeping.places import place_ids
from equipment.models import PrintedTag, Reservation, Unit, UnitTag
from fleet.models import User
from tests import builders as build
from tests.equipment.line_world import PASSWORD, crew
from tests.equipment.stores.world import certified

pytestmark = [pytest.mark.browser, pytest.mark.slow]
#: Between two keys of a scanner, in milliseconds.
SPEED = 4
CODE = "P/N HS-100 S/N 00941"


@pytest.fixture
def unit(transactional_db: None) -> Unit:
    """A good slide in bin R2-04, tagged serviceable, set aside for the aircraft."""
    crew()
    kind, station = build.a_kind("SLIDE"), build.a_station("QBAS")
    part = build.a_part("HS-100", kind=kind)
    of_type = build.an_aircraft_type("D1L-SLIDE", kind=kind)
    aircraft = build.an_aircraft(of_type=of_type, station=station)
    build.a_fit(part, aircraft, "D1L-SLIDE")
    made = build.a_unit(part, serial_number="00941")
    build.moved(made, "received", build.in_store(station), "2026-01-10")
    certified(made)
    clerk = User.objects.get(username="stores")
    UnitTag.objects.create(
        act_id=uuid4(),
        unit=made,
        sort="serviceable",
        tagged_at=timezone.now(),
        recorded_at=timezone.now(),
        recorded_by=clerk,
    )
    Reservation.objects.create(
        act_id=uuid4(),
        unit=made,
        place_id=place_ids([build.at_position(aircraft, "D1L-SLIDE")])[0],
        need_on=timezone.now().date(),
        reserved_at=timezone.now(),
        reserved_by=clerk,
    )
    return made


@pytest.fixture
def counter(unit: Unit, page: Page) -> Page:
    page.set_viewport_size({"width": 1440, "height": 900})
    page.goto("/sign-in/")
    page.get_by_label("Username").fill("stores")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_url("**/stores/**")
    page.goto("/stores/")
    return page


def scan(page: Page, code: str) -> None:
    """As a scanner does: key upon key, and Enter behind them, into whatever has the focus."""
    page.wait_for_load_state("load")
    page.keyboard.type(code, delay=SPEED)
    page.keyboard.press("Enter")


def tab_to(page: Page, name: str) -> None:
    """By keyboard alone to the button or link of this name."""
    for _ in range(60):
        is_here = "(name) => document.activeElement.textContent.trim().startsWith(name)"
        if page.evaluate(is_here, name):
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"no way by keyboard to {name}")


def test_from_the_first_scan_to_the_last_label_without_the_mouse(counter: Page, unit: Unit) -> None:
    # The cursor waits for a code: the unit's leads to issuing it.
    expect(counter.locator("input[name=code]")).to_be_focused()
    scan(counter, CODE)
    expect(counter.get_by_role("heading", name="Issue")).to_be_visible()

    # The badge goes into the field that asks for whom; its Enter hands nothing over.
    counter.get_by_label("Handed to").focus()
    scan(counter, "technician")
    expect(counter.get_by_label("For which job")).to_be_focused()
    assert Reservation.objects.get().issued_at is None
    tab_to(counter, "It is handed over")
    counter.wait_for_timeout(200)
    counter.keyboard.press("Enter")
    expect(counter.get_by_text("Issued to")).to_be_visible()
    person = User.objects.get(username="technician")
    assert Reservation.objects.get().issued_to == person.shown_name

    # After the act the cursor waits again: the same unit is brought back into its bin.
    expect(counter.locator("input[name=code]")).to_be_focused()
    scan(counter, CODE)
    expect(counter.get_by_role("heading", name="Bring it back")).to_be_visible()
    counter.get_by_label("Into bin").focus()
    scan(counter, "R2-05")
    assert Reservation.objects.get().ended_at is None
    tab_to(counter, "Record the return")
    counter.wait_for_timeout(200)
    counter.keyboard.press("Enter")
    expect(counter.get_by_role("status").first).to_contain_text("is back")
    assert Unit.objects.select_related("place").get(pk=unit.pk).place.name == "R2-05"

    # Its bin is scanned, then the unit itself, and its tag printed.
    scan(counter, "r2-05")
    expect(counter.get_by_text("00941").first).to_be_visible()
    scan(counter, CODE)
    expect(counter.get_by_role("heading", name="00941")).to_be_visible()
    tab_to(counter, "Print its tag")
    counter.keyboard.press("Enter")
    expect(counter.get_by_role("heading", name="Print its tag")).to_be_visible()
    counter.wait_for_load_state("load")
    tab_to(counter, "Print it")
    counter.keyboard.press("Enter")
    expect(counter.get_by_role("status").first).to_contain_text("Print 1 of")
    assert PrintedTag.objects.get().is_serviceable


def test_a_stray_scan_changes_nothing_that_is_chosen_and_presses_no_button(counter: Page) -> None:
    """On a list of choices its first letter would choose, on a button its Enter would press."""
    counter.goto("/stores/stock/")
    state = counter.get_by_label("Kind")
    before = state.input_value()
    state.focus()
    scan(counter, CODE)
    expect(counter.get_by_role("heading", name="Issue")).to_be_visible()
    counter.go_back()
    assert counter.get_by_label("Kind").input_value() == before

    counter.goto(f"/stores/reservations/{Reservation.objects.get().pk}/")
    counter.get_by_role("button", name="It is handed over").focus()
    scan(counter, CODE)
    expect(counter.get_by_role("heading", name="Issue")).to_be_visible()
    assert Reservation.objects.get().issued_at is None
