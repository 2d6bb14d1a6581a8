"""One overwing slide round the whole loop: received, inspected, set aside, issued, fitted; the one that came
off goes to the shop and comes back. At each step the shortage picture of their family moves as it must."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import timedelta

import pytest
from playwright.sync_api import Page, expect
from pytest_django.live_server_helper import LiveServer

from equipment.models import Place, Reservation, Swap, Unit
from fleet.house.pages import today
from fleet.models import Aircraft
from scheduling.models import WorkDone

from .by_phone import at_step, sign_inspect_release, work_through
from .conftest import PASSWORD, press

pytestmark = [pytest.mark.browser, pytest.mark.slow]
GS, RS, EOT = "\x1d", "\x1e", "\x04"
MARK = f"[)>{RS}06{GS}17VQ0B71{GS}1PBQ21.310{GS}SW2048{RS}{EOT}"
FAMILY = "Overwing slide BQ21.310, BQ21.320"


@dataclass(frozen=True)
class Picture:
    """A family's months added up: what is needed, what comes back and what is short in the whole horizon,
    and what is on hand today."""

    needed: int
    on_hand: int
    coming_back: int
    short: int


@pytest.fixture
def clerk(demonstration: None, page: Page) -> Page:
    """The clerk's screen at the counter."""
    page.set_viewport_size({"width": 1440, "height": 900})
    return signed_in(page, "stores")


@pytest.fixture
def phone(clerk: Page, live_server: LiveServer) -> Iterator[Page]:
    """The technician's phone, by the same server."""
    assert clerk.context.browser
    size = {"width": 390, "height": 844}
    context = clerk.context.browser.new_context(base_url=live_server.url, viewport=size)
    opened = context.new_page()
    opened.set_default_timeout(90_000)
    yield signed_in(opened, "technician")
    context.close()


def signed_in(page: Page, name: str) -> Page:
    page.goto("/sign-in/")
    page.get_by_label("Username").fill(name)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.locator("a.who").wait_for()
    return page


def picture(page: Page) -> Picture:
    """The family's rows as the page of the shortage has them, made anew if facts have changed since."""
    page.goto("/shortage/")
    renew = page.get_by_role("button", name=re.compile("Renew now|Make it now"))
    if renew.count():
        renew.click()
        expect(renew).to_have_count(0)
    table = page.locator(f"table[aria-label='{FAMILY} in numbers']")
    rows = [
        [int(cell) for cell in row.locator(".is-number").all_text_contents()]
        for row in table.locator("tbody tr").all()
    ]
    needed, hand, back, short = zip(*rows, strict=True)
    return Picture(sum(needed), hand[0], sum(back), sum(short))


def stores(page: Page) -> None:
    page.get_by_role("navigation", name="Main").get_by_role("link", name="Today").click()
    page.get_by_role("heading", level=1, name="Stores").wait_for()


def scanned(page: Page, code: str) -> None:
    """As a scanner does it: the focus waits, the code is typed, a return follows."""
    expect(page.locator("input[name=code]")).to_be_focused()
    page.wait_for_load_state("load")
    page.keyboard.insert_text(code)
    press(page, "Enter")


def copy_certificate(page: Page, tracking: str, serial: str) -> None:
    """A release after overhaul by the slides' own shop, its scan beside it."""
    page.get_by_label("Form", exact=True).fill("Form 1")
    page.get_by_label("Tracking number (block 3)").fill(tracking)
    page.get_by_label("Issued by (block 4)").fill("Brightquay Evacuation, Dunmarrow shop")
    page.get_by_label("Serial number on it (block 10)").fill(serial)
    page.get_by_label("Status/work (block 11)").fill("Overhauled")
    page.get_by_label("Date (block 14)").fill(str(today()))
    scan = {"name": f"{tracking}.pdf", "mimeType": "application/pdf", "buffer": b"%PDF-1.4 a scan"}
    page.get_by_label("Its scan: PDF or picture").set_input_files(scan)
    works = page.get_by_text("Works that it certifies")
    if not works.locator("xpath=ancestor::details").evaluate("d => d.open"):
        works.click()
    page.get_by_label("Work", exact=True).first.select_option(label="Overhaul")
    page.get_by_label("Done on").first.fill(str(today()))


def receive(page: Page) -> Unit:
    stores(page)
    scanned(page, MARK)
    expect(page.get_by_label("Serial number on the plate")).to_have_value("W2048")
    page.get_by_text("Date of manufacture, standard, life").click()
    page.get_by_label("Manufactured on").fill(str(today() - timedelta(days=700)))
    page.get_by_label("Station").select_option(label="QVMR")
    copy_certificate(page, "DUN-7710", "W2048")
    page.get_by_role("button", name="Receive it").click()
    expect(page.get_by_role("heading", name="Received")).to_be_visible()
    return Unit.objects.get(serial_number="W2048")


def say_what_is_inside(page: Page) -> None:
    """The light that came in the slide, off its plate: without it no swap could be released."""
    page.get_by_role("link", name="Say what is there").click()
    page.get_by_label("Part number on its plate").fill("OLD-SL3")
    page.get_by_label("Serial number on its plate").fill("L7712")
    page.get_by_label("Manufactured on").fill(str(today() - timedelta(days=200)))
    page.get_by_label("Modification standard on it").fill("L2")
    page.get_by_role("button", name="It is inside").click()
    expect(page.get_by_role("status").first).to_contain_text("L7712 is recorded inside")
    page.get_by_role("link", name="Inspect it").click()


def inspect(page: Page, bin_name: str) -> None:
    for question in page.locator(".question").all():
        question.get_by_label("Yes").check()
    page.get_by_label("accepted to stock").check()
    page.get_by_label("Bin of the store").fill(bin_name)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign the inspection").click()
    expect(page.get_by_role("status").first).to_contain_text("accepted to stock, signed by")


def set_aside(page: Page) -> Reservation:
    """What the day proposes for the unit: looked at, and accepted by keys."""
    stores(page)
    page.get_by_role("region", name="To set aside").get_by_role("link", name="more").click()
    line = page.get_by_role("region", name="To set aside").get_by_role("listitem")
    line.filter(has_text="W2048").get_by_role("link").click()
    expect(page.get_by_role("region", name="The need looked at")).to_contain_text("W2048")
    press(page, "Alt+a")
    expect(page.get_by_role("status").first).to_contain_text("W2048 is set aside for")
    return Reservation.objects.get(unit__serial_number="W2048", ended_at=None)


def issue(page: Page) -> None:
    stores(page)
    scanned(page, MARK)
    page.get_by_label("Handed to").fill("R. Oake")
    page.get_by_role("button", name="It is handed over").click()
    expect(page.get_by_role("status").first).to_contain_text("is issued")


def begin(page: Page, aircraft: Aircraft, position: str, serial: str = "W2048") -> Swap:
    """From the aircraft's page, with the unit that was set aside for it."""
    page.goto(f"/aircraft/{aircraft.registration}/")
    page.get_by_role("link", name=f"Record a swap at {position}", exact=True).click()
    page.get_by_label("Why").fill("Overhaul is due")
    expect(page.get_by_role("radio", name=serial)).to_be_checked()
    page.get_by_role("button", name="Begin").click()
    page.get_by_role("link", name="Begin: step 1").click()
    at_step(page, 1)
    return Swap.objects.latest("pk")


def send(page: Page, off: Unit, promised: str) -> None:
    stores(page)
    waits = page.get_by_role("region", name="To send").get_by_role("listitem")
    waits.filter(has_text=off.serial_number).get_by_role("link").click()
    page.get_by_label("Shop", exact=True).fill("Brightquay Evacuation, Dunmarrow shop")
    page.get_by_label("Order number").fill("VAR-RO-0101")
    page.get_by_label("Promised back by").fill(promised)
    # the light inside falls due before half a year is over: the page says so, and it is asked for too
    due = page.get_by_role("region", name="Falls due next, on it and inside it")
    expect(due).to_contain_text("OLD-SL3 S/N L1040: Replacement, due")
    page.get_by_label("Overhaul", exact=True).check()
    page.get_by_label("Replacement", exact=True).check()
    page.get_by_role("button", name="It is sent").click()
    expect(page.get_by_role("status").first).to_contain_text("is sent to Brightquay")


def come_back(page: Page, off: Unit) -> None:
    stores(page)
    waits = page.get_by_role("region", name="To receive").get_by_role("listitem")
    waits.filter(has_text=off.serial_number).get_by_role("link").click()
    page.get_by_label("Result", exact=True).select_option(label="the work was done")
    copy_certificate(page, "DUN-7742", off.serial_number)
    page.get_by_label("Work", exact=True).nth(1).select_option(label="–")
    page.get_by_role("button", name="Record the return").click()
    expect(page.get_by_text("The return is recorded.")).to_be_visible()


def say_what_was_replaced(page: Page) -> None:
    """The old light stayed at the shop; the plate of the one inside now is read."""
    page.get_by_role("link", name="Correct the component").click()
    page.get_by_label("Part number on its plate").fill("OLD-SL3")
    page.get_by_label("Serial number on its plate").fill("L8840")
    page.get_by_label("Manufactured on").fill(str(today() - timedelta(days=100)))
    page.get_by_label("Modification standard on it").fill("L2")
    page.get_by_label("The shop put it there in place of the one on record").check()
    page.get_by_role("button", name="It is inside").click()
    expect(page.get_by_role("status").first).to_contain_text("L8840 is recorded inside")


def test_a_unit_goes_round_and_the_shortage_moves_at_each_step(clerk: Page, phone: Page) -> None:
    at_first = picture(clerk)
    assert at_first.short == 2

    unit = receive(clerk)
    assert picture(clerk) == at_first  # in quarantine it counts for nothing
    clerk.goto(f"/stores/receive/{unit.pk}/")
    say_what_is_inside(clerk)
    inspect(clerk, "R2-04")
    received = picture(clerk)
    assert received == replace(at_first, on_hand=at_first.on_hand + 1, short=1)

    # set aside and handed over: it is still there, and still meets its need
    held = set_aside(clerk)
    assert picture(clerk) == received
    issue(clerk)
    assert picture(clerk) == received

    # the technician's phone takes exactly this unit
    position = held.place.aircraft_position
    assert position is not None
    off = Unit.objects.get(place=held.place)
    swap = begin(phone, position.aircraft, position.type_position.code)
    work_through(phone, swap)
    sign_inspect_release(phone, swap)
    unit.refresh_from_db()
    held.refresh_from_db()
    assert (unit.place, held.ended_how) == (held.place, "used")
    fitted = picture(clerk)
    assert fitted.needed == received.needed - 1
    assert fitted.on_hand == at_first.on_hand
    assert fitted.short == 1

    # to the shop: what is promised in time meets the need that was short
    send(clerk, off, str(today() + timedelta(days=19)))
    sent = picture(clerk)
    assert sent == replace(fitted, coming_back=fitted.coming_back + 1, short=0)

    # and back, with its certificate: inspected, on the shelf again
    come_back(clerk, off)
    say_what_was_replaced(clerk)
    clerk.get_by_role("link", name="Inspect it").click()
    inspect(clerk, "R2-05")
    off.refresh_from_db()
    assert off.place is not None and off.place.sort == Place.STORE
    assert WorkDone.objects.filter(unit=off, certificate="DUN-7742").exists()
    assert picture(clerk) == replace(fitted, on_hand=fitted.on_hand + 1, short=0)
