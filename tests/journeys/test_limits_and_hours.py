"""A controller revises a limit and enters the week's hours, each shown with what it moves before it is saved."""

from __future__ import annotations

import os

import pytest
from playwright.sync_api import Page, expect

from fleet.models import Aircraft, AircraftType, UtilisationReading
from scheduling.models import DueItem, Limit

from .looks import refuse_faults

pytestmark = [pytest.mark.browser, pytest.mark.slow]
LOOKS = [("light", 390), ("light", 1366), ("dark", 1920)]


def a_picture(page: Page, name: str) -> None:
    """Kept where the environment names a folder for them."""
    if folder := os.environ.get("GREENBAND_PICTURES"):
        page.screenshot(path=f"{folder}/{name}.png", full_page=True)


def a_limit_in_months() -> Limit:
    """One under which items are due, with one clock of one figure in months."""
    for limit in Limit.objects.order_by("pk"):
        clocks = list(limit.clocks.all())
        is_plain = len(clocks) == 1 and clocks[0].measure == "months"
        is_one = is_plain and clocks[0].amounts.filter(value__isnull=False).count() == 1
        if is_one and DueItem.objects.filter(limit=limit, due_on__isnull=False).count() > 3:
            return limit
    raise LookupError("no such limit in the demonstration")


def test_a_limit_is_revised_and_hours_are_entered(controller: Page) -> None:
    page, limit = controller, a_limit_in_months()
    figure = limit.clocks.get().amounts.get().value
    page.goto("/limits/")
    a_picture(page, "limits")
    page.locator(f'a[href="/limits/{limit.pk}/"]').first.click()
    page.get_by_role("link", name="Revise it").click()
    page.get_by_label("every", exact=True).first.fill(str(int(figure or 0) - 6))
    page.get_by_label("Revision", exact=True).fill("99")
    page.get_by_label("Document revision").fill("99")
    page.get_by_label("Reason").fill("Shortened by the maker.")
    a_picture(page, "sentence")

    page.get_by_role("button", name="Show what it changes").click()
    shown = page.get_by_role("status", name="What it changes")
    expect(shown).to_contain_text("earlier")
    expect(shown).to_contain_text("One worked with a pencil")
    assert not Limit.objects.filter(code=limit.code, revision="99").exists()
    a_picture(page, "moves")

    page.get_by_role("button", name="Save the revision").click()
    expect(page.get_by_role("main")).to_contain_text("Shortened by the maker.")
    a_picture(page, "side-by-side")
    assert Limit.objects.filter(code=limit.code, revision="99").exists()

    aircraft = Aircraft.objects.order_by("registration").first()
    assert aircraft is not None
    before = UtilisationReading.objects.count()
    page.goto("/hours/")
    a_picture(page, "hours")
    page.get_by_label(f"Hours of {aircraft.registration}").fill("99999")
    page.get_by_role("button", name="Show what it changes").click()
    expect(page.get_by_role("main")).to_contain_text("No day has so many hours")
    a_picture(page, "asked")
    page.get_by_label("It is right as typed").check()
    page.get_by_role("button", name="Show what it changes").click()
    page.get_by_role("button", name="Save the hours").click()
    expect(page.get_by_role("main")).to_contain_text("Hours of 1 aircraft are recorded.")
    assert UtilisationReading.objects.count() == before + 1


def test_every_entry_page_fits_and_is_accessible(controller: Page) -> None:
    limit, of_type = a_limit_in_months(), AircraftType.objects.order_by("pk").first()
    directive = Limit.objects.filter(is_directive=True).first()
    unit = DueItem.objects.filter(unit__isnull=False).values_list("unit", flat=True).first()
    aircraft = Aircraft.objects.order_by("registration").first()
    assert of_type and directive and aircraft
    addresses = [
        "/setting-up/",
        "/setting-up/stations/",
        "/setting-up/positions/",
        f"/setting-up/types/{of_type.pk}/",
        "/limits/",
        "/limits/starting-points/",
        "/limits/new/",
        f"/limits/{limit.pk}/",
        f"/limits/{limit.pk}/revise/",
        f"/limits/{directive.pk}/compliance/",
        "/hours/",
        f"/hours/{aircraft.registration}/",
        "/checks/",
        f"/checks/{aircraft.registration}/plan/",
        f"/units/{unit}/correct/",
        f"/units/{unit}/work-done/",
    ]
    if os.environ.get("GREENBAND_PICTURES"):
        for address in addresses:
            controller.goto(address)
            a_picture(controller, address.strip("/").replace("/", "-"))

    refuse_faults(controller, addresses, LOOKS)
