"""A data load in a real browser: every line's verdict, the good ones taken, the refused ones mended."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest
import xlsxwriter
from django.utils import timezone
from playwright.sync_api import Page, expect

from equipment.models import Unit
from fleet.house.pages import today
from fleet.loading.work import drain
from tests.axe import faults_by_axe

pytestmark = [pytest.mark.browser, pytest.mark.slow]
HEAD = ["Maker", "Part number", "Serial number", "Manufactured on", "Note"]
WIDTHS = (1440, 390)


@pytest.fixture(autouse=True)
def kept_apart(settings, tmp_path: Path) -> None:
    settings.DATA_DIR = tmp_path / "data"


def sheet_of(folder: Path) -> Path:
    """One unit that is on record as it stands, one that is new, one of a part nobody knows."""
    known = Unit.objects.select_related("original_part__maker").get(serial_number="E0503")
    maker, part = known.original_part.maker.code, known.original_part.number
    rows = [
        [maker, part, "E0503", f"{known.manufactured_on:%m/%Y}"],
        [maker, part, "E9001", "03/2026"],
        [maker, "CCF-A99", "E9002", "03/2026", "PLATEWORN" * 8],
    ]
    path = folder / "Units.xlsx"
    with xlsxwriter.Workbook(path) as book:
        sheet = book.add_worksheet("Units")
        for index, row in enumerate([HEAD, *rows]):
            sheet.write_row(index, 0, row)
    return path


def is_accessible(page: Page) -> None:
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 900})
        report = faults_by_axe(page)
        assert not report, (page.url, width, report)
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), (
            page.url,
            width,
        )
    page.set_viewport_size({"width": 1440, "height": 900})


def choose(page: Page, path: Path) -> None:
    if not page.get_by_text("You recorded the same at").count():
        page.get_by_role("navigation", name="Main").get_by_role("link", name="Records").click()
        page.get_by_role("link", name="Data loads").click()
    page.get_by_label("Sheets (XLSX or CSV, several at once)").set_input_files(path)
    page.get_by_role("button", name="Read these sheets").click()


def bring(page: Page, path: Path) -> None:
    """From the list of loads to the page of a new one, which the job then works on."""
    choose(page, path)
    expect(page.get_by_text("You can leave this page and come back")).to_be_visible()
    works()


def works() -> None:
    """The worker's turn, which comes by itself every few seconds where one runs."""
    drain(now=timezone.now, today=today())


def counts(page: Page) -> list[str]:
    return page.get_by_role("table", name="Sheets").locator("td.is-number").all_inner_texts()


def mended(page: Page, folder: Path) -> Path:
    """The workbook of the refused lines, its part number put right."""
    with page.expect_download() as download:
        page.get_by_role("link", name="Take the refused lines as a workbook").click()
    path = folder / download.value.suggested_filename
    download.value.save_as(path)
    book = openpyxl.load_workbook(path)
    head, line = book["Units"].iter_rows()
    assert head[0].value == "Why refused"
    part = next(cell for cell in line if cell.value == "CCF-A99")
    part.value = "CCF-A12"
    book.save(path)
    return path


def test_good_known_and_refused_lines_and_the_refused_one_brought_again(
    controller: Page, tmp_path: Path
) -> None:
    bring(controller, sheet_of(tmp_path))
    expect(controller.get_by_role("heading", name="1 line can be taken, 1 cannot")).to_be_visible()
    assert counts(controller) == ["1", "1", "1"]
    refused = controller.get_by_role("table", name="Refused lines and warnings")
    expect(refused).to_contain_text("Units B4")
    expect(refused).to_contain_text("There is no part number 'CCF-A99' on record.")
    expect(refused).to_contain_text("Serial number: E9002")
    assert not Unit.objects.filter(serial_number__startswith="E900").exists()
    is_accessible(controller)

    controller.get_by_role("button", name="Take the good lines").click()
    works()
    expect(controller.get_by_text("Applied.")).to_be_visible()
    assert Unit.objects.filter(serial_number="E9001").count() == 1
    is_accessible(controller)

    again = mended(controller, tmp_path)
    bring(controller, again)
    expect(controller.get_by_role("heading", name="The one line can be taken")).to_be_visible()
    controller.get_by_role("button", name="Take all lines").click()
    works()
    expect(controller.get_by_text("Applied.")).to_be_visible()
    assert Unit.objects.filter(serial_number__in=["E9001", "E9002"]).count() == 2

    # brought once more: asked about, and where it is meant, all of it is known
    choose(controller, again)
    expect(controller.get_by_text("You recorded the same at")).to_be_visible()
    bring(controller, again)
    expect(controller.get_by_role("heading", name="There is nothing new to take")).to_be_visible()
    controller.goto("/loads/")
    is_accessible(controller)


def test_a_file_that_cannot_be_read_says_so_and_asks_for_nothing(
    controller: Page, tmp_path: Path
) -> None:
    path = tmp_path / "Units.xls"
    path.write_bytes(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + "Workbook".encode("utf-16-le"))

    bring(controller, path)

    expect(controller.get_by_text("Could not be read, nothing to decide.")).to_be_visible()
    expect(controller.get_by_text("take Excel workbook (.xlsx)")).to_be_visible()
    expect(controller.get_by_role("button", name="Take nothing")).to_have_count(0)
    is_accessible(controller)
