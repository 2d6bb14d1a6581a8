"""A swap worked through with the phone in the hand, whatever the list of steps: each step by its sort."""

from __future__ import annotations

import re
from collections.abc import Callable

from playwright.sync_api import Page, expect

from equipment.models import Step, StepEntry, Swap
from equipment.swaps.pages.step.unread import SOONEST_MS

from .conftest import PASSWORD


def at_step(page: Page, number: int) -> None:
    expect(page.locator(".step-phase")).to_contain_text(f"step {number} of")


def work_through(page: Page, swap: Swap) -> None:
    """Every step that must be done, from the first to the last."""
    page.goto(f"/swaps/{swap.pk}/step/1/")
    for step in swap.step_list.steps.order_by("number"):
        at_step(page, step.number)
        if page.get_by_text("Call the inspector first.").count():
            sign_and_inspect(page, swap)
            page.goto(f"/swaps/{swap.pk}/step/{step.number}/")
        if step.posts:
            _post(page, step)
        if step.is_needed:
            _enter(page, step)
        if not page.url.endswith(f"/step/{step.number + 1}/"):
            page.locator(".bar > :last-child").click()


def _post(page: Page, step: Step) -> None:
    """What came off, what went on: the unit is chosen already, by the record and by what was set aside."""
    if step.posts == "removal":
        page.get_by_role("link", name="Record what came off").click()
        page.get_by_label("Because of").select_option("limit")
        page.get_by_role("button", name="Record the removal").click()
    else:
        page.get_by_role("link", name="Record what went on").click()
        page.get_by_role("button", name="Record the installation").click()
    at_step(page, step.number)


def read_step(page: Page) -> None:
    """As long as a step is read at the least: sooner it is the second tap on the one before."""
    page.wait_for_timeout(SOONEST_MS)


def _enter(page: Page, step: Step) -> None:
    SORTS[step.sort](page, step)


def _confirm(page: Page, step: Step) -> None:
    """A plain yes leads on; where a unit came off or went on, the page stays with what was recorded."""
    read_step(page)
    page.get_by_role("button", name="Done", exact=True).click()
    if step.posts:
        expect(page.locator("#kept")).to_contain_text("Kept ")
    elif step.step_list.steps.filter(number__gt=step.number).exists():
        at_step(page, step.number + 1)
    else:  # after the last one all of them are shown
        page.wait_for_url(re.compile(r"/swaps/\d+/(#.*)?$"))


def _pass(page: Page, step: Step) -> None:
    read_step(page)
    page.get_by_role("button", name="Passed").click()
    at_step(page, step.number + 1)


def _count(page: Page, step: Step) -> None:
    page.locator("#f-count").fill("3")
    _keep(page)


def _press(page: Page, step: Step) -> None:
    page.get_by_label("Bottle's temperature", exact=True).fill("70")
    page.get_by_label("The gauge showed", exact=True).fill("3000")
    _keep(page)


def _torque(page: Page, step: Step) -> None:
    """In the middle of its band; the friction drag, where it is asked for, comes on top."""
    rule = step.rule
    page.get_by_label("Measured with").select_option(
        "VT-1042" if rule.get("has_drag") else "VT-1041"
    )
    if rule.get("has_drag"):
        page.get_by_label("Friction drag, read while turning", exact=True).fill("5")
    middle = (int(rule["low"]) + int(rule["high"])) // 2
    page.get_by_label("The wrench showed", exact=True).fill(str(middle))
    _keep(page)


def _resist(page: Page, step: Step) -> None:
    page.get_by_label("Measured with").select_option("VT-2007")
    page.get_by_label("The meter showed", exact=True).fill("1.2")
    _keep(page)


def _keep(page: Page) -> None:
    page.keyboard.press("Tab")
    expect(page.locator("#kept")).to_contain_text("Kept ")
    expect(page.locator("#verdict")).not_to_contain_text(re.compile(r"\btoo\b"))


def _note(page: Page, step: Step) -> None:
    """Sent as it is left, it may lead on by itself before its button is found."""
    page.locator("#f-text").fill("Read beside the unit.")
    page.keyboard.press("Tab")
    entered = StepEntry.objects.filter(step=step)
    for _ in range(100):
        if entered.exists():
            break
        page.wait_for_timeout(100)
    page.wait_for_timeout(700)


SORTS: dict[str, Callable[[Page, Step], None]] = {
    "confirm": _confirm,
    "function": _pass,
    "count": _count,
    "pressure": _press,
    "torque": _torque,
    "resistance": _resist,
    "note": _note,
}


def sign_and_inspect(page: Page, swap: Swap) -> None:
    """The technician signs what is ticked, the inspector on the same phone inspects what waits."""
    page.goto(f"/swaps/{swap.pk}/sign/")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign off the ticked steps").click()
    page.get_by_role("link", name="Second person: inspect").click()
    for box in page.get_by_role("checkbox").all():
        box.check()
    _sign(page, "inspector", "Sign the inspection")
    expect(page.get_by_role("link", name="Second person: inspect")).to_have_count(0)


def sign_inspect_release(page: Page, swap: Swap) -> None:
    """After the last step: signed, inspected, and released by the licensed engineer."""
    sign_and_inspect(page, swap)
    page.get_by_role("link", name="Release", exact=True).click()
    expect(page.get_by_text("Nothing stands in the way.")).to_be_visible()
    _sign(page, "certifying", "Release")
    expect(page.get_by_role("heading", name="Released")).to_be_visible()


def _sign(page: Page, name: str, button: str) -> None:
    page.get_by_label("Username").fill(name)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name=button).click()
