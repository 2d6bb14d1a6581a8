"""What axe finds on a page, asked one way by every test."""

from __future__ import annotations

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

#: Targets that a finger hits are asked for too. Of what is in order only so much is told that it was looked at: all
#: of it takes four times as long.
ASKED = {"rules": {"target-size": {"enabled": True}}, "resultTypes": ["violations"]}


def faults_by_axe(page: Page) -> str:
    """Axe's report of what is wrong with a page as it stands; empty where nothing is."""
    found = Axe().run(page, options=ASKED)
    return str(found.generate_report()) if found.violations_count else ""
