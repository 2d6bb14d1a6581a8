"""A unit found by its serial number and read; and what is exported against what is on the screen."""

from __future__ import annotations

import csv
from datetime import date
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from fleet.words.said import count_words, day_words, remaining_words, weekday_words

pytestmark = [pytest.mark.browser, pytest.mark.slow]


def test_a_unit_is_found_by_its_serial_number_and_its_page_read(controller: Page) -> None:
    controller.goto("/find/")
    controller.get_by_role("link", name="All units").click()
    controller.get_by_label("Part or serial number").fill("b2110")
    controller.get_by_role("search", name="Find units").get_by_role("button", name="Find").click()
    controller.get_by_role("link", name="B2110").click()

    expect(controller.get_by_role("heading", level=1)).to_have_text("BQ21.115L S/N B2110")
    facts = controller.locator("dl.facts")
    expect(facts).to_contain_text("Q7-VAF")
    expect(facts).to_contain_text("BQ21.110L")  # what it was before it was re-identified
    expect(controller.get_by_role("table", name="Limits")).to_contain_text("SLIDE-OVH")
    controller.get_by_role("link", name="Papers", exact=True).click()
    expect(controller.get_by_role("table", name="Papers").locator("tbody tr")).not_to_have_count(0)
    controller.get_by_role("link", name="Past", exact=True).click()
    history = controller.get_by_role("table", name="History")
    expect(history).to_contain_text("QBR-SB-21-19")
    expect(history).to_contain_text("installed")


def test_a_corrected_movement_is_kept_in_the_history_struck_through(controller: Page) -> None:
    controller.goto("/units/?text=E0503")
    controller.get_by_role("link", name="E0503").click()

    controller.get_by_role("link", name="Past", exact=True).click()
    history = controller.get_by_role("table", name="History")
    expect(history.locator(".struck")).to_contain_text("EXT-1")
    expect(controller.locator("dl.facts")).to_contain_text("EXT-2")


def plain(text: str) -> str:
    return " ".join(text.replace("\u202f", " ").split())


def as_on_screen(line: dict[str, str]) -> list[str]:
    """The cells of the screen that a line of the export should stand in."""
    check = line["Check starts"] and weekday_words(date.fromisoformat(line["Check starts"]))
    unit = f"{line['Part number']} S/N {line['Serial number']}" if line["Serial number"] else ""
    missing = line["Missing"] and f"missing: {line['Missing'].replace('; ', ', ')}"
    cells = [
        f"at {line['Check']}" if line["Band"] == "at next check" else line["Band"],
        line["Aircraft"],
        f"{line['Position']} {line['Inside']}",
        unit,
        f"{line['Work']} {'' if unit else line['Description']} {line['Notes'].replace('; ', ' · ')} {missing}",
        f"{line['Check']} {check}",
    ]
    return [plain(cell) for cell in cells]


def said_of_due(line: dict[str, str]) -> list[str]:
    """What stands in the cell 'Due', in its words."""
    on = line["Due on"] or line["Worst date"]
    return [plain(day_words(date.fromisoformat(on)))] if on else []


def said_of_remaining(line: dict[str, str]) -> list[str]:
    """What stands in the cell 'Remaining', in its words."""
    days, cycles = line["Days remaining"], line["Cycles remaining"]
    return [
        *([plain(remaining_words(int(days)))] if days else []),
        *([f"{plain(count_words(int(cycles)))} cycles"] if cycles else []),
    ]


@pytest.mark.parametrize("band", ["overdue", "out-of-phase", "no-basis", "next-check"])
def test_what_is_exported_is_what_is_on_the_screen_cell_by_cell(
    controller: Page, tmp_path: Path, band: str
) -> None:
    controller.goto(f"/due/?band={band}")
    rows = controller.locator("tr[data-row]")
    shown = [[plain(cell) for cell in row.locator("td").all_inner_texts()] for row in rows.all()]
    with controller.expect_download() as download:
        controller.get_by_role("button", name="Export CSV").click()
    path = tmp_path / "due.csv"
    download.value.save_as(path)
    with path.open(encoding="utf-8-sig", newline="") as file:
        lines = list(csv.DictReader(file))

    assert shown and len(lines) >= len(shown)
    for cells, line in zip(shown, lines, strict=False):
        assert [cells[i] for i in (1, 2, 3, 4, 5, 8)] == as_on_screen(line)
        assert [said for said in said_of_due(line) if said not in cells[6]] == []
        assert [said for said in said_of_remaining(line) if said not in cells[7]] == []
