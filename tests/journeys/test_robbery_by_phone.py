"""Nothing is in the store: a slide is taken off another aircraft, at 390 pixels, and both aircraft are right."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from equipment.models import OpenItem, Swap, Unit
from tests.axe import faults_by_axe
from tests.builders import a_unit, an_aircraft, at_position, installed
from tests.equipment.line_world import PASSWORD, POSITION, Line, a_line, crew

pytestmark = [pytest.mark.browser, pytest.mark.slow]


@pytest.fixture
def line(transactional_db: None) -> Line:
    crew()
    return a_line()


@pytest.fixture
def donor(line: Line) -> Unit:
    """A slide on another aircraft of the type."""
    other = an_aircraft(of_type=line.aircraft.aircraft_type, station=line.station)
    made = a_unit(line.old.part_number, serial_number="00688")
    installed(made, at_position(other, POSITION), "2026-01-05")
    return Unit.objects.get(pk=made.pk)


@pytest.fixture
def phone(line: Line, page: Page) -> Page:
    page.set_viewport_size({"width": 390, "height": 844})
    page.goto("/sign-in/")
    page.get_by_label("Username").fill("certifying")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.locator("a.who").wait_for()
    return page


def begin(page: Page, line: Line) -> Swap:
    page.goto(f"/aircraft/{line.aircraft.registration}/")
    page.get_by_role("link", name=f"Record a swap at {POSITION}").click()
    page.get_by_label("Why").fill("Cover torn")
    page.get_by_role("button", name="Begin").click()
    page.get_by_role("link", name="Begin: step 1").wait_for()
    return Swap.objects.get()


def test_a_slide_is_robbed_and_both_aircraft_are_right(
    phone: Page, line: Line, donor: Unit
) -> None:
    swap = begin(phone, line)
    where = f"{donor.aircraft.registration} {POSITION}"

    phone.get_by_role("link", name="Take a unit from another aircraft").click()
    report = faults_by_axe(phone)
    assert not report, report
    phone.get_by_label("Aircraft and position that it is taken from").fill("Q-0 NOWHERE")
    phone.get_by_label("Document, item and revision that allow it").fill("QMEL 25-60-1 revision 9")
    phone.get_by_label("What is open").fill("overwing left without slide")
    phone.get_by_label("Last day on which it may stay open").fill("2099-01-01")
    phone.get_by_role("button", name="Record the robbery").click()
    expect(phone.locator(".field-error")).to_contain_text("Name one position")
    phone.get_by_label("Aircraft and position that it is taken from").fill(where)
    phone.get_by_role("button", name="Record the robbery").click()
    phone.get_by_role("link", name="Begin: step 1").wait_for()

    phone.goto(f"/swaps/{swap.pk}/off/")
    phone.get_by_label("Because of").select_option("defect")
    phone.get_by_role("button", name="Record the removal").click()
    phone.goto(f"/swaps/{swap.pk}/on/")
    phone.get_by_label("Scan or type the unit's code").fill("HLY-OW-210 00688")
    phone.get_by_role("button", name="Record the installation").click()
    phone.locator(".step-phase").wait_for()

    assert Unit.objects.get(pk=donor.pk).aircraft == line.aircraft
    assert Unit.objects.get(pk=line.old.pk).aircraft is None
    assert not Unit.objects.filter(aircraft=donor.aircraft).exists()
    assert OpenItem.objects.get().aircraft == donor.aircraft
    assert Swap.objects.get(sort="robbery").donor_of == swap
