"""A morning at the counter with a wedge scanner and no mouse: keys at a scanner's real speed, wherever the focus is."""

from __future__ import annotations

from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import Page, expect

from equipment.keeping.places import place_ids
from equipment.models import PrintedTag, Reservation, Unit, UnitTag
from fleet.models import User
from tests import builders as build
from tests.equipment.line_world import PASSWORD, crew
from tests.equipment.stores.world import certified
from tests.printed_codes import code_on

pytestmark = [pytest.mark.browser, pytest.mark.slow]
#: Between two keys of a scanner, in milliseconds.
SPEED = 4
#: Between two keys of a person: faster ones are a scanner's, and choose nothing.
PERSON = 150
CODE, NEW = "P/N HS-100 S/N 00941", "P/N HS-100 S/N 00942"
PAPER = {
    "Form": "Form 1",
    "Tracking number (block 3)": "LS-2026-77",
    "Issued by (block 4)": "Lee Shore Overhaul",
    "Serial number on it (block 10)": "00942",
    "Status/work (block 11)": "Overhauled",
    "Date (block 14)": "1 May 2026",
}


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


#: Of the page: how far the keys were apart that came since it was asked before.
GAPS = """() => {
  const keys = (window.keysCame ??= []);
  if (!keys.isHeard) addEventListener("keydown", (event) => keys.push(event.timeStamp), { capture: true });
  keys.isHeard = true;
  const gaps = keys.slice(1).map((at, place) => at - keys[place]);
  keys.length = 0;
  return Math.max(0, ...gaps);
}"""


def scan(page: Page, code: str) -> None:
    """As a scanner does: key upon key, and Enter behind them, into whatever has the focus."""
    page.wait_for_load_state("load")
    page.keyboard.type(code, delay=SPEED)
    page.keyboard.press("Enter")


def came_at_speed(page: Page, code: str) -> bool:
    """The keys of a scan without its Enter; whether they came as fast as a scanner's, which a busy machine cannot."""
    page.wait_for_load_state("load")
    page.evaluate(GAPS)
    page.keyboard.type(code, delay=SPEED)
    return bool(page.evaluate(GAPS) < 45)


def stray_scan(page: Page, address: str, label: str) -> None:
    """A scan while the focus is on what this names, not before its keys come as fast as a scanner's."""
    for _ in range(20):
        page.goto(address)
        page.get_by_label(label).or_(page.get_by_role("button", name=label)).first.focus()
        if came_at_speed(page, CODE):
            page.keyboard.press("Enter")
            return
    raise AssertionError("this machine types no faster than a person")


def tab_to(page: Page, name: str) -> None:
    """By keyboard alone to the button or link of this name."""
    for _ in range(60):
        is_here = "(name) => document.activeElement.textContent.trim().startsWith(name)"
        if page.evaluate(is_here, name):
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"no way by keyboard to {name}")


def typed(page: Page, label: str, words: str) -> None:
    """Into the field of this name, by keys."""
    page.get_by_label(label, exact=True).first.focus()
    page.keyboard.type(words)


def answered(page: Page) -> None:
    """Every question of an inspection *yes*, and to stock: by the bar, as radio buttons are chosen."""
    page.wait_for_load_state("load")
    names = page.eval_on_selector_all(
        "input[type=radio]", "all => [...new Set(all.map(one => one.name))]"
    )
    for name in names:
        page.locator(f"input[name={name}]").first.focus()
        page.keyboard.press("Space")
        page.wait_for_timeout(PERSON)


def code_of_link(page: Page, name: str) -> str:
    """What the code says on the file that this link opens, as another library reads it."""
    address = page.get_by_role("link", name=name).first.get_attribute("href")
    assert address
    return code_on(page.request.get(address).body())


def received(page: Page) -> None:
    """A slide that nobody knows: its plate scanned, its paper copied, received, labelled, inspected into stock."""
    scan(page, NEW)
    expect(page.get_by_role("heading", name="Receive", exact=True)).to_be_visible()
    expect(page.get_by_label("Serial number on the plate")).to_have_value("00942")
    page.get_by_label("Station").focus()
    page.keyboard.press("ArrowDown")
    for label, words in PAPER.items():
        typed(page, label, words)
    tab_to(page, "Receive it")
    page.wait_for_timeout(PERSON)
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Received", exact=True)).to_be_visible()
    assert "00942" in code_of_link(page, "Print its label")

    tab_to(page, "Inspect it")
    page.wait_for_timeout(PERSON)
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Incoming inspection")).to_be_visible()
    answered(page)
    # Some scanners send Enter twice: nothing is signed by it.
    page.get_by_label("Bin of the store").focus()
    scan(page, "R2-07")
    page.keyboard.press("Enter")
    expect(page.get_by_label("Bin of the store")).to_have_value("R2-07")
    expect(page.get_by_text("Not recorded yet")).to_have_count(0)
    typed(page, "Password", PASSWORD)
    tab_to(page, "Sign the inspection")
    page.wait_for_timeout(PERSON)
    page.keyboard.press("Enter")
    expect(page.get_by_role("status").first).to_contain_text("accepted to stock")
    new = Unit.objects.select_related("place").get(serial_number="00942")
    assert (new.place.sort, new.place.name) == ("store", "R2-07")


def test_from_the_first_scan_to_the_last_label_without_the_mouse(counter: Page, unit: Unit) -> None:
    expect(counter.locator("input[name=code]")).to_be_focused()
    received(counter)

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
    counter.wait_for_timeout(PERSON)
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
    counter.wait_for_timeout(PERSON)
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
    printed = reverse("equipment:stores_printed", args=[PrintedTag.objects.get().pk])
    label = reverse("equipment:stores_label", args=[unit.pk])
    for address in (printed, label):
        assert "00941" in code_on(counter.request.get(address).body())


def test_a_stray_scan_changes_nothing_that_is_chosen_and_presses_no_button(counter: Page) -> None:
    """On a list of choices its first letter would choose, on a button its Enter would press."""
    counter.goto("/stores/stock/")
    before = counter.get_by_label("Kind").input_value()
    stray_scan(counter, "/stores/stock/", "Kind")
    expect(counter.get_by_role("heading", name="Issue")).to_be_visible()
    counter.go_back()
    assert counter.get_by_label("Kind").input_value() == before

    stray_scan(
        counter, f"/stores/reservations/{Reservation.objects.get().pk}/", "It is handed over"
    )
    expect(counter.get_by_role("heading", name="Issue")).to_be_visible()
    assert Reservation.objects.get().issued_at is None
