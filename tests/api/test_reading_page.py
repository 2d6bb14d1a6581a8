from __future__ import annotations

import pytest
from playwright.sync_api import Page


@pytest.mark.browser
def test_the_schema_can_be_read_under_the_sites_policy(page: Page) -> None:
    faults: list[str] = []
    page.on("console", lambda said: faults.append(said.text) if said.type == "error" else None)

    page.goto("/api/")
    page.wait_for_selector(".opblock-summary")

    assert page.locator(".opblock-summary").count() >= 10
    assert not faults
