"""A clerk's day at the counter: a slide comes, is inspected, set aside for an aircraft, and handed over."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from equipment.models import Attachment, IncomingInspection, Reservation, Unit
from fleet.aircraft.acts.checks import PlannedCheck, plan_checks
from fleet.house.pages import today
from fleet.models import Aircraft
from scheduling.models import WorkDone
from scheduling.reckoning.bulk import recompute_all
from tests import builders as build
from tests.equipment.line_world import PASSWORD, crew
from tests.scheduling import rules

from .conftest import press
from .looks import refuse_faults

pytestmark = [pytest.mark.browser, pytest.mark.slow]
COUNTER = {"width": 1440, "height": 900}
GS, RS, EOT = "\x1d", "\x1e", "\x04"
CODE = f"[)>{RS}06{GS}17VHALY1{GS}1PHS-100{GS}S00941{RS}{EOT}"
SCAN = {"name": "form-1.pdf", "mimeType": "application/pdf", "buffer": b"%PDF-1.4 a scan"}
POSITION = "D1L-SLIDE"


@dataclass(frozen=True)
class House:
    """One aircraft whose slide is due for overhaul at its next check; nothing in the store."""

    aircraft: Aircraft
    fitted: Unit
    check_on: date


@pytest.fixture
def house(transactional_db: None) -> House:
    crew()
    day, kind, station = today(), build.a_kind("SLIDE"), build.a_station("QBAS")
    part = build.a_part("HS-100", kind=kind)
    of_type = build.an_aircraft_type(POSITION, kind=kind)
    runs = rules.every(36, first_from="manufacture")
    rules.a_rule("SLIDE-OVH", runs, work="OVERHAUL", kind=kind)
    aircraft = rules.follows(build.an_aircraft(of_type=of_type, station=station))
    build.a_fit(part, aircraft, POSITION)
    made = day - timedelta(days=1035)
    fitted = build.a_unit(part, serial_number="00417", manufactured_on=made)
    build.installed(fitted, build.at_position(aircraft, POSITION), str(made + timedelta(days=30)))
    for name, days in (("C1", 30), ("C2", 150)):
        on = day + timedelta(days=days)
        row = PlannedCheck(aircraft.pk, name, on, on, station.pk)
        plan_checks(by=build.a_person("controller"), rows=[row], today=row.starts_on, at=build.NOW)
    recompute_all(as_of=day, now=timezone.now())
    return House(aircraft, fitted, day + timedelta(days=30))


@pytest.fixture
def counter(house: House, page: Page) -> Page:
    """The clerk's screen, signed in, at the day."""
    page.set_viewport_size(COUNTER)
    page.goto("/sign-in/")
    page.get_by_label("Username").fill("stores")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.get_by_role("link", name="Today", exact=True).click()
    page.get_by_role("heading", name="Stores", exact=True).wait_for()
    return page


def scanned(page: Page, code: str) -> None:
    """As a scanner does it: the focus waits, the code is typed, a return follows."""
    expect(page.locator("input[name=code]")).to_be_focused()
    page.keyboard.insert_text(code)
    press(page, "Enter")


def copy_certificate(page: Page, serial: str) -> None:
    page.get_by_label("Form", exact=True).fill("Form 1")
    page.get_by_label("Tracking number (block 3)").fill("LSO-2291")
    page.get_by_label("Issued by (block 4)").fill("Lee Shore Overhaul")
    page.get_by_label("Serial number on it (block 10)").fill(serial)
    page.get_by_label("Status/work (block 11)").fill("Overhauled")
    page.get_by_label("Date (block 14)").fill(str(today() - timedelta(days=9)))
    page.get_by_label("Its scan: PDF or picture").set_input_files(SCAN)
    page.get_by_text("Works that it certifies").click()
    page.get_by_label("Work", exact=True).first.select_option(label="Overhaul")
    page.get_by_label("Done on").first.fill(str(today() - timedelta(days=10)))


def receive(page: Page) -> Unit:
    scanned(page, CODE)
    expect(page.get_by_role("region", name="Read from the mark")).to_contain_text("00941")
    expect(page.get_by_label("Serial number on the plate")).to_have_value("00941")
    page.get_by_label("Station").select_option(label="QBAS")
    copy_certificate(page, "00914")
    page.get_by_role("button", name="Receive it").click()

    # the paper was copied wrongly: it says so, and nothing typed is lost, the scan neither
    expect(page.get_by_text("The certificate is for serial number 00914")).to_be_visible()
    expect(page.get_by_text("The file form-1.pdf is kept with this page")).to_be_visible()
    page.get_by_label("Serial number on it (block 10)").fill("00941")
    page.get_by_role("button", name="Receive it").click()
    expect(page.get_by_role("heading", name="Received")).to_be_visible()
    return Unit.objects.get(serial_number="00941")


def inspect(page: Page) -> None:
    page.get_by_role("link", name="Inspect it").click()
    for question in page.locator(".question").all():
        question.get_by_label("Yes").check()
    page.get_by_label("accepted to stock").check()
    page.get_by_label("Bin of the store").fill("R2-04")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign the inspection").click()
    expect(page.get_by_role("status").first).to_contain_text("signed by Stores")


def set_aside(page: Page, house: House) -> None:
    page.get_by_role("link", name="Parts", exact=True).click()
    page.get_by_role("button", name="Make it now").click()
    expect(page.get_by_role("region", name="The need looked at")).to_contain_text("00941")
    page.get_by_role("link", name="Today", exact=True).click()
    waits = page.get_by_role("region", name="To set aside")
    expect(waits).to_contain_text(house.aircraft.registration)
    waits.get_by_role("link", name="Reserve").click()
    page.get_by_role("button", name="Accept").click()
    expect(page.get_by_role("status").first).to_contain_text("is set aside for")


def test_a_slide_comes_is_inspected_set_aside_and_handed_over(counter: Page, house: House) -> None:
    unit = receive(counter)
    assert bytes(Attachment.objects.get(certificate__unit=unit).content) == SCAN["buffer"]
    assert WorkDone.objects.get(unit=unit).certificate == "LSO-2291"

    inspect(counter)
    assert IncomingInspection.objects.get(unit=unit).result == "accepted"

    set_aside(counter, house)
    held = Reservation.objects.get(unit=unit, ended_at=None)
    assert held.need_on == house.check_on

    # at the counter the technician asks for it: one scan, one large button
    counter.get_by_role("link", name="Today", exact=True).click()
    scanned(counter, CODE)
    counter.get_by_label("Handed to").fill("R. Oake")
    counter.get_by_role("button", name="It is handed over").click()
    expect(counter.get_by_text("Issued to R. Oake")).to_be_visible()
    held.refresh_from_db()
    assert held.issued_by is not None and held.issued_by.username == "stores"


LOOKS = (
    ("light", 390),
    ("dark", 390),
    ("light", 1920),
    ("dark", 1440),
    ("light", 1180),
    ("light", 1280),
)


def test_every_page_of_the_stores_is_accessible_and_within_its_width(counter: Page) -> None:
    unit = receive(counter)
    names = ("", "receive/", "waiting/", "set-aside/", "stock/", "shop/", "holds/", "owed/")
    addresses = [f"/stores/{name}" for name in names]
    acts = ("", "inspect/", "send/", "paper/", "bin/", "tag/", "inside/", "set-aside/")
    addresses += [f"/stores/units/{unit.pk}/{name}" for name in acts]
    addresses += [f"/stores/receive/{unit.pk}/", "/stores/receive/?code=HS-100+00417"]

    refuse_faults(counter, addresses, LOOKS)
