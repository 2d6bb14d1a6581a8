"""A check from the plan to the aircraft's release, in a real browser: moved with its consequences seen first, its
package handed over, one work recorded from its paper, one item carried forward, closed, released."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect
from pytest_django.live_server_helper import LiveServer

from fleet.models import Check, CheckRecord, User
from scheduling.models import CarriedForward, CheckClosed, CheckReleased
from tests.equipment.line_world import PASSWORD
from tests.scheduling.packages.hangar import Hangar
from tests.scheduling.planning.world import in_days, reckoned

from .looks import refuse_faults

pytestmark = [pytest.mark.browser, pytest.mark.slow]
LOOKS = [("light", 1440), ("light", 390), ("dark", 1440), ("dark", 390)]


@pytest.fixture
def hangar(transactional_db: None) -> Hangar:
    """The check begins in a dozen days at first; everybody has a password."""
    made = Hangar()
    Check.objects.filter(pk=made.check.pk).update(starts_on=in_days(12), ends_on=in_days(14))
    reckoned()
    for person in (made.controller, made.technician):
        person.set_password(PASSWORD)
        User.objects.bulk_update([person], ["password"])
    return made


@contextmanager
def desk_of(page: Page, live_server: LiveServer, name: str) -> Iterator[Page]:
    """A browser of this person's own."""
    assert page.context.browser
    context = page.context.browser.new_context(base_url=live_server.url)
    opened = context.new_page()
    opened.set_default_timeout(60_000)
    opened.goto("/sign-in/")
    opened.get_by_label("Username").fill(name)
    opened.get_by_label("Password").fill(PASSWORD)
    opened.get_by_role("button", name="Sign in").click()
    opened.locator("a.who").wait_for()
    yield opened
    context.close()


def test_a_check_is_moved_handed_over_closed_and_its_aircraft_released(
    page: Page, live_server: LiveServer, hangar: Hangar
) -> None:
    package = reverse("scheduling:check_package", args=[hangar.check.pk])
    with desk_of(page, live_server, hangar.controller.username) as controller:
        # it is dragged on the fleet's line and left where it was, then moved by keys to today; what that changes is
        # seen before it is saved
        controller.goto(reverse("scheduling:plan"))
        check = controller.locator("a[data-move]", has_text="A1")
        moving = controller.locator("[data-plan-move] [role=status]")
        box = check.locator("rect").bounding_box()
        assert box
        controller.mouse.move(box["x"] + 4, box["y"] + 8)
        controller.mouse.down()
        controller.mouse.move(box["x"] + 120, box["y"] + 8, steps=4)
        controller.mouse.up()
        expect(moving).to_contain_text("later. Not saved.")
        controller.get_by_role("button", name="Leave it where it was").click()
        expect(moving).to_be_empty()
        check.focus()
        for key in ("ArrowUp", *["ArrowLeft"] * 5):
            controller.keyboard.press(f"Shift+{key}")
        expect(moving).to_contain_text("12 days earlier. Not saved.")
        controller.keyboard.press("Enter")
        expect(controller.get_by_role("button", name="Save the check")).to_be_visible()
        assert Check.objects.get(pk=hangar.check.pk).starts_on == in_days(12)
        controller.get_by_role("button", name="Save the check").click()
        expect(controller.get_by_text("The check is changed.")).to_be_visible()
        assert CheckRecord.objects.get().recorded_by == hangar.controller

        # its package is handed over by name, and one work is recorded from its paper
        controller.goto(package)
        controller.get_by_role("link", name="Hand the package over").click()
        controller.get_by_label("Handed to").select_option(hangar.technician.username)
        controller.get_by_role("button", name="Hand it over").click()
        expect(controller.get_by_text("0 of 3 done")).to_be_visible()
        item = hangar.item(hangar.right).row.pk
        carry = reverse("scheduling:package_carry", args=[item])
        finding = reverse("scheduling:package_finding", args=[hangar.check.pk])
        hangars = reverse("scheduling:hangars")
        refuse_faults(
            controller, [finding, carry, hangars, "/calendars/", "/your-mail/", package], LOOKS
        )
        look = hangar.item(hangar.look).row.number
        controller.get_by_role("link", name=f"Record item {look} from its paper").click()
        controller.get_by_label("Who").fill("T. Arden")
        controller.get_by_label("Authorisation").fill("Q-B1-204")
        controller.get_by_label("Document").fill("WO-7")
        controller.get_by_label("Result").select_option(label="passed")
        controller.get_by_role("button", name="Save the work").click()
        expect(controller.get_by_text("1 of 3 done")).to_be_visible()

    hangar.do("OVERHAUL", hangar.left)
    with desk_of(page, live_server, hangar.technician.username) as technician:
        # the hangar cannot close it while one item is left, and is told which
        technician.goto(package)
        technician.get_by_role("link", name="Close the check").click()
        technician.get_by_role("button", name="Close it").click()
        expect(technician.get_by_text(hangar.right.serial_number)).to_be_visible()
        assert not CheckClosed.objects.exists()

    with desk_of(page, live_server, hangar.controller.username) as controller:
        controller.goto(package)
        right = hangar.item(hangar.right).row.number
        controller.get_by_role("link", name=f"Carry item {right} forward").click()
        controller.get_by_label("Why it is not done").fill(
            "The spare came without its certificate."
        )
        controller.get_by_label("Approval").fill("TC-2027-114")
        controller.get_by_label("Approved by").fill("O. Lind")
        controller.get_by_role("button", name="Carry it forward").click()
        expect(controller.get_by_text("1 carried forward")).to_be_visible()
        assert CarriedForward.objects.count() == 1

    with desk_of(page, live_server, hangar.technician.username) as technician:
        technician.goto(package)
        technician.get_by_role("link", name="Close the check").click()
        technician.get_by_role("button", name="Close it").click()
        expect(technician.get_by_text("What follows is as it was closed.")).to_be_visible()
        refuse_faults(technician, [package], LOOKS)

    with desk_of(page, live_server, hangar.certifier.username) as certifier:
        certifier.goto(package)
        certifier.get_by_role("link", name="Release the aircraft").click()
        expect(certifier.get_by_text("Nothing on record stands in the way.")).to_be_visible()
        refuse_faults(certifier, [certifier.url], LOOKS)
        certifier.get_by_label("Password").fill(PASSWORD)
        certifier.get_by_role("button", name=f"Release {hangar.craft.registration}").click()
        expect(certifier.get_by_role("heading", name="Released")).to_be_visible()
        assert CheckReleased.objects.get().by == hangar.certifier
