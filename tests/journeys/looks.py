"""Every screen in the looks that people have: light and dark, narrow and wide; axe and the width asked of it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from playwright.sync_api import Page

from tests.axe import faults_by_axe

Look = tuple[str, int]
FITS = "document.documentElement.scrollWidth <= innerWidth"


def refuse_faults(page: Page, addresses: Iterable[str], looks: Sequence[Look]) -> None:
    """Each page is loaded once and turned through each look (colour scheme, width), as one turns a phone.

    All looks must fit their width. axe is asked of the narrowest light one and the widest dark one: both
    colour schemes and both layouts.
    """
    light = min((look for look in looks if look[0] == "light"), key=lambda look: look[1])
    dark = max((look for look in looks if look[0] == "dark"), key=lambda look: look[1])
    for address in addresses:
        page.goto(address)
        assert "Invented demonstration data" in page.locator("header").inner_text(), address
        for scheme, width in looks:
            page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
            page.set_viewport_size({"width": width, "height": 900})
            assert page.evaluate(FITS), (address, width)
            if (scheme, width) in (light, dark):
                report = faults_by_axe(page)
                assert not report, (address, scheme, width, report)
