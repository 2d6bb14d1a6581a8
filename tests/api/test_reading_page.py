from __future__ import annotations

import shutil

import pytest
from playwright.sync_api import sync_playwright

CHROMIUM = shutil.which("chromium")


@pytest.mark.browser
def test_the_schema_can_be_read_under_the_sites_policy(live_server):
    faults: list[str] = []
    with sync_playwright() as player:
        browser = player.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        page = browser.new_page()
        page.on("console", lambda said: faults.append(said.text) if said.type == "error" else None)
        page.goto(f"{live_server.url}/api/")
        page.wait_for_selector(".opblock-summary", timeout=20_000)
        shown = page.locator(".opblock-summary").count()
        browser.close()

    assert shown >= 10
    assert not faults
