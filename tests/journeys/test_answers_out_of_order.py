"""A phone with a slow net: what was typed last is what the record has, whichever answer comes first."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, Request, Route, expect

from equipment.models import StepEntry
from tests.equipment.line_world import Line

from .test_swap_by_phone import begin, kept, line, phone

__all__ = ["line", "phone"]
pytestmark = [pytest.mark.browser, pytest.mark.slow]
NO_STORAGE = (
    "Object.defineProperty(window, 'localStorage', {get() { throw new Error('refused'); }})"
)


class SlowFirst:
    """Keeps the first entry on its way until it is let go; all others go through at once."""

    def __init__(self, page: Page, address: str) -> None:
        self.sent: list[str] = []
        self._held: list[Route] = []
        page.route(address, self._take)

    def _take(self, route: Route, request: Request) -> None:
        if request.method != "POST" or request.headers.get("x-keep") != "1":
            route.continue_()
            return
        self.sent.append(request.post_data or "")
        if len(self.sent) == 1:
            self._held.append(route)
        else:
            route.continue_()

    def let_go(self) -> None:
        for route in self._held:
            route.continue_()


WHY = "The paper copy is being worked on."


def refuse(route: Route, request: Request) -> None:
    if request.method == "POST":
        route.fulfill(status=422, body=f'<div id="verdict">{WHY}</div><div id="step-after"></div>')
    else:
        route.continue_()


def fill_both(page: Page) -> None:
    page.get_by_label("Bottle's temperature", exact=True).fill("70")
    page.get_by_label("The gauge showed", exact=True).fill("3000")
    page.keyboard.press("Tab")


def test_a_late_refusal_of_half_a_value_does_not_undo_the_whole(phone: Page, line: Line) -> None:
    """The temperature alone is sent as it is left, and refused; the pressure is typed meanwhile."""
    swap = begin(phone, line)
    phone.goto(f"/swaps/{swap}/step/4/")
    net = SlowFirst(phone, "**/step/4/")
    fill_both(phone)
    phone.wait_for_timeout(700)
    net.let_go()

    kept(phone)
    expect(phone.locator("#verdict")).to_contain_text("In tolerance")
    phone.wait_for_timeout(500)

    kept(phone)
    entry = StepEntry.objects.filter(step__number=4).latest("pk")
    assert {"70", "3000"} <= set(entry.typed.values())


def test_a_value_corrected_at_once_stands_last_in_the_record(phone: Page, line: Line) -> None:
    """Two entries, both good: the first is slow, the second must not be overtaken by it."""
    swap = begin(phone, line)
    phone.goto(f"/swaps/{swap}/step/2/")
    net = SlowFirst(phone, "**/step/2/")
    pins = phone.get_by_label("Safety pins")
    pins.fill("1")
    pins.blur()
    pins.fill("2")
    phone.keyboard.press("Tab")
    phone.wait_for_timeout(700)
    net.let_go()

    kept(phone)
    phone.wait_for_timeout(500)

    assert len(net.sent) == 2
    assert StepEntry.objects.filter(step__number=2).latest("pk").typed["count"] == "2"
    phone.reload()
    expect(phone.get_by_label("Safety pins")).to_have_value("2")


def test_a_browser_that_keeps_nothing_sends_all_the_same(phone: Page, line: Line) -> None:
    phone.add_init_script(NO_STORAGE)
    swap = begin(phone, line)
    phone.goto(f"/swaps/{swap}/step/4/")

    fill_both(phone)

    kept(phone)
    assert "3000" in StepEntry.objects.latest("pk").typed.values()


def test_what_is_said_while_typing_does_not_cover_why_it_was_refused(
    phone: Page, line: Line
) -> None:
    """The count is sent as it is left; what was asked of it while it was typed is answered later."""
    swap = begin(phone, line)
    phone.goto(f"/swaps/{swap}/step/2/")
    phone.route("**/step/2/", refuse)
    pins = phone.get_by_label("Safety pins")
    pins.fill("1")
    pins.blur()
    expect(phone.locator("#verdict")).to_contain_text(WHY)

    phone.wait_for_timeout(900)

    expect(phone.locator("#verdict")).to_contain_text(WHY)
