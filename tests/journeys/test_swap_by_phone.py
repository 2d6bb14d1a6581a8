"""A slide is changed with a phone in the hand: every step, the second person, the release; at 390 pixels."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect
from pytest_django.live_server_helper import LiveServer

from equipment.models import Discrepancy, Signature, StepEntry, Swap, SwapEnd, Unit
from tests.equipment.line_world import PASSWORD, POSITION, Line, a_line, crew

from .by_phone import SOONEST_MS, read_step
from .looks import refuse_faults

pytestmark = [pytest.mark.browser, pytest.mark.slow]
PHONE = {"width": 390, "height": 844}


@pytest.fixture
def line(transactional_db: None) -> Line:
    crew()
    return a_line()


@pytest.fixture
def phone(line: Line, page: Page) -> Page:
    """The technician's phone, signed in."""
    page.set_viewport_size(PHONE)
    sign_in(page, "technician")
    return page


@pytest.fixture
def other_phone(phone: Page, live_server: LiveServer) -> Iterator[Page]:
    """A second device on which nobody has signed in yet."""
    assert phone.context.browser
    context = phone.context.browser.new_context(base_url=live_server.url, viewport=PHONE)
    opened = context.new_page()
    opened.set_default_timeout(90_000)
    yield opened
    context.close()


def sign_in(page: Page, name: str) -> None:
    page.goto("/sign-in/")
    page.get_by_label("Username").fill(name)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.locator("a.who").wait_for()


def at_step(page: Page, number: int) -> None:
    expect(page.locator(".step-phase")).to_contain_text(f"step {number} of")
    page.wait_for_timeout(SOONEST_MS)  # as long as anybody needs to read it


def kept(page: Page) -> None:
    expect(page.locator("#kept")).to_contain_text("Kept ")


def begin(page: Page, line: Line) -> int:
    """From the aircraft's page into an open swap."""
    page.goto(f"/aircraft/{line.aircraft.registration}/")
    page.get_by_role("link", name=f"Record a swap at {POSITION}").click()
    page.get_by_label("Why").fill("Overhaul is due")
    page.get_by_label("00533").check()
    page.get_by_role("button", name="Begin").click()
    page.get_by_role("link", name="Begin: step 1").click()
    at_step(page, 1)
    return Swap.objects.get().pk


def make_safe_and_remove(page: Page) -> None:
    at_step(page, 1)
    expect(page.get_by_role("note").filter(has_text="Caution")).to_contain_text("crushes")
    read_step(page)
    page.get_by_role("button", name="Done", exact=True).click()
    at_step(page, 2)
    page.get_by_role("button", name="One more").click()
    page.get_by_role("button", name="One more").click()
    expect(page.get_by_label("Safety pins")).to_have_value("2")
    kept(page)
    page.locator(".bar > :last-child").click()
    at_step(page, 3)
    page.get_by_role("link", name="Record what came off").click()
    page.get_by_label("Because of").select_option("limit")
    page.get_by_role("button", name="Record the removal").click()
    at_step(page, 3)
    read_step(page)
    page.get_by_role("button", name="Done", exact=True).click()


def fit(page: Page) -> None:
    page.locator(".bar > :last-child").click()
    at_step(page, 4)
    page.get_by_label("Bottle's temperature", exact=True).fill("70")
    page.get_by_label("The gauge showed", exact=True).fill("3000")
    expect(page.locator("#aim")).to_contain_text("at this temperature")
    page.keyboard.press("Tab")
    expect(page.locator("#verdict")).to_contain_text("In tolerance")
    page.locator(".bar > :last-child").click()
    at_step(page, 5)
    page.get_by_role("link", name="Record what went on").click()
    expect(page.get_by_label("00533")).to_be_checked()
    page.get_by_role("button", name="Record the installation").click()
    at_step(page, 5)
    read_step(page)
    page.get_by_role("button", name="Done", exact=True).click()


def torque(page: Page, value: str) -> None:
    page.get_by_label("Measured with").select_option("VT-1")
    page.get_by_label("Friction drag, read while turning", exact=True).fill("12")
    page.get_by_label("The wrench showed", exact=True).fill(value)


def finish(page: Page) -> None:
    """The bonding, the light, its endurance and the weight; the pins back."""
    page.locator(".bar > :last-child").click()
    at_step(page, 7)
    page.get_by_label("Measured with").select_option("VT-2")
    page.get_by_label("The meter showed", exact=True).fill("1,9")
    page.keyboard.press("Tab")
    expect(page.locator("#verdict")).to_contain_text("In tolerance")
    page.locator(".bar > :last-child").click()
    read_step(page)
    page.get_by_role("button", name="Passed").click()
    at_step(page, 9)
    page.get_by_label("It lasted (9:59 will do)", exact=True).fill("12:30")
    page.keyboard.press("Tab")
    kept(page)
    page.locator(".bar > :last-child").click()
    page.get_by_label("The scale showed", exact=True).fill("5.4")
    page.keyboard.press("Tab")
    kept(page)
    page.locator(".bar > :last-child").click()
    at_step(page, 11)
    page.get_by_label("Safety pins").fill("2")
    page.keyboard.press("Tab")
    expect(page.locator("#verdict")).to_contain_text("all that were fitted")


def sign_all(page: Page, swap: int) -> None:
    page.goto(f"/swaps/{swap}/sign/")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign off the ticked steps").click()
    expect(page.get_by_role("link", name="Second person: inspect")).to_be_visible()


def inspect_all(page: Page, swap: int) -> None:
    """On the technician's own phone, with the inspector's own credentials."""
    page.goto(f"/swaps/{swap}/")
    page.get_by_role("link", name="Second person: inspect").click()
    for box in page.get_by_role("checkbox").all():
        box.check()
    page.get_by_label("Username").fill("inspector")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign the inspection").click()
    expect(page.get_by_role("link", name="Second person: inspect")).to_have_count(0)


def test_a_slide_is_changed_inspected_and_released(
    phone: Page, other_phone: Page, line: Line
) -> None:
    swap = begin(phone, line)
    make_safe_and_remove(phone)
    fit(phone)

    # one step off tolerance, said while it is typed, kept as it is, then redone
    phone.locator(".bar > :last-child").click()
    at_step(phone, 6)
    torque(phone, "204")
    expect(phone.locator("#verdict")).to_contain_text("28 in-lb too low")
    phone.keyboard.press("Tab")
    kept(phone)
    assert StepEntry.objects.filter(step__number=6).latest("pk").verdict == "out"

    # the tab is closed; a second device goes on where the first stopped
    phone.goto("about:blank")
    sign_in(other_phone, "technician")
    other_phone.goto(f"/swaps/{swap}/")
    expect(other_phone.locator("#step-6")).to_contain_text("28 in-lb too low")
    other_phone.locator("#step-6 a").click()
    expect(other_phone.get_by_label("The wrench showed", exact=True)).to_have_value("204")
    other_phone.get_by_label("The wrench showed", exact=True).fill("250")
    other_phone.keyboard.press("Tab")
    expect(other_phone.locator("#verdict")).to_contain_text("In tolerance")
    finish(other_phone)

    # a release is asked for too early: each thing that stands in the way leads to its step
    other_phone.goto(f"/swaps/{swap}/release/")
    expect(other_phone.get_by_text("in the way")).to_be_visible()
    expect(other_phone.get_by_role("link", name="is not signed off").first).to_be_visible()
    sign_all(other_phone, swap)
    inspect_all(other_phone, swap)

    other_phone.get_by_role("link", name="Release", exact=True).click()
    expect(other_phone.get_by_text("Nothing stands in the way.")).to_be_visible()
    other_phone.get_by_label("Username").fill("certifying")
    other_phone.get_by_label("Password").fill(PASSWORD)
    other_phone.get_by_role("button", name="Release").click()
    expect(other_phone.get_by_role("heading", name="Released")).to_be_visible()
    assert SwapEnd.objects.get(swap=swap).sort == "released"
    assert Signature.objects.get(sort="release").name == "Certifying"
    assert Unit.objects.get(serial_number="00533").aircraft_id == line.aircraft.pk


def test_another_unit_was_there_and_the_controller_is_told(phone: Page, line: Line) -> None:
    swap = begin(phone, line)
    phone.goto(f"/swaps/{swap}/off/")
    phone.get_by_text("Another unit was there").click()
    phone.get_by_label("P/N on the plate").fill("HLY-OW-210")
    phone.get_by_label("S/N on the plate").fill("99999")
    phone.get_by_label("Because of").select_option("limit")
    phone.get_by_role("button", name="Record the removal").click()
    expect(phone.get_by_text("is on no record")).to_be_visible()
    phone.get_by_label("It is really so").check()
    phone.get_by_role("button", name="Record the removal").click()
    at_step(phone, 3)

    found = Discrepancy.objects.get()
    phone.goto(f"/aircraft/{line.aircraft.registration}/")

    expect(phone.get_by_role("region", name="Not releasable")).to_contain_text("99999")
    assert found.sort == "unknown_unit"
    assert found.swap_id == swap


def test_nothing_typed_is_lost_without_signal(phone: Page, line: Line) -> None:
    swap = begin(phone, line)
    phone.goto(f"/swaps/{swap}/step/2/")
    phone.context.set_offline(True)
    phone.get_by_label("Safety pins").fill("2")
    phone.keyboard.press("Tab")
    expect(phone.locator("#kept")).to_contain_text("kept on this device")
    assert not StepEntry.objects.exists()

    phone.context.set_offline(False)
    kept(phone)

    assert StepEntry.objects.get().typed["count"] == "2"


def test_what_was_typed_is_there_again_after_the_tab_was_closed(phone: Page, line: Line) -> None:
    swap = begin(phone, line)
    phone.goto(f"/swaps/{swap}/step/6/")
    phone.get_by_label("The wrench showed", exact=True).press_sequentially("rubbish")
    phone.goto("about:blank")

    phone.goto(f"/swaps/{swap}/step/6/")

    expect(phone.get_by_label("The wrench showed", exact=True)).to_have_value("rubbish")
    assert not StepEntry.objects.exists()


LOOKS = (("light", 390), ("dark", 390), ("light", 1920), ("dark", 800))


def test_every_screen_of_a_swap_is_accessible_and_within_its_width(phone: Page, line: Line) -> None:
    swap = begin(phone, line)
    read_step(phone)
    phone.get_by_role("button", name="Done", exact=True).click()
    at_step(phone, 2)
    steps = [reverse("equipment:swap_step", args=[swap, number]) for number in (1, 2, 4, 6, 12, 13)]
    pages = [
        "",
        "sign/",
        "off/",
        "on/",
        "release/",
        "hand-over/",
        "abandon/",
        "leave-open/",
        "rob/",
    ]
    addresses = [*steps, *(f"/swaps/{swap}/{name}" for name in pages)]
    addresses += [
        "/swaps/",
        "/swaps/inspections/",
        "/swaps/start/",
        f"/swaps/start/?unit={line.old.pk}",
        f"/swaps/paper/?unit={line.old.pk}",
        f"/units/{line.new.pk}/filling/",
        f"/units/{line.new.pk}/discharge/",
        "/tools/VT-1/report/",
    ]

    refuse_faults(phone, addresses, LOOKS)
