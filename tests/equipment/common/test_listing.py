"""A list as a file: all its rows on paper, read back by another library; real dates and numbers; nothing that runs."""

from __future__ import annotations

import csv
import io
from datetime import UTC, date, datetime, time

import openpyxl
import pytest
from pypdf import PdfReader

from equipment.common.listing import Column, Listing, Minutes, csv_of, file_of

DAY = date(2027, 3, 3)
COLUMNS = (Column("Aircraft"), Column("Unit"), Column("Last day"), Column("Left"), Column("Cycles"))


def a_listing(count: int = 400) -> Listing:
    rows = [[f"Q7-V{i:04}", f"HS-1 S/N S{i:05}", DAY, Minutes(740_730), 1234] for i in range(count)]
    return Listing(
        "Due list", "As of 3 Mar 2027", COLUMNS, rows, "https://house.invalid/due/", "due-list"
    )


def made(form: str, listing: Listing | None = None, **more) -> bytes:
    facts = {"printed": "Printed by O. Lind, 3 Mar 2027 10:00 UTC.", "is_demonstration": False}
    return file_of(listing or a_listing(), form, **facts | more)


@pytest.fixture(scope="module")
def paper() -> PdfReader:
    return PdfReader(io.BytesIO(made("pdf")))


def test_every_row_is_on_paper_and_each_page_says_which_it_is_of_how_many(paper):
    words = [page.extract_text() for page in paper.pages]

    assert len(words) > 4
    everything = "\n".join(words)
    assert [i for i in range(400) if f"HS-1 S/N S{i:05}" not in everything] == []
    for number, text in enumerate(words, 1):
        assert f"Page {number} of {len(words)}" in text
        assert "Printed by O. Lind, 3 Mar 2027 10:00 UTC." in text
        assert "Last day" in text  # the head is on each page
    assert "As of 3 Mar 2027. 400 rows." in words[0]


def test_its_letters_are_in_the_file_and_it_is_tagged_for_reading_aloud(paper):
    root = paper.trailer["/Root"]
    fonts = [
        font.get_object()
        for page in paper.pages
        for font in page["/Resources"]["/Font"].get_object().values()
    ]
    inner = [each["/DescendantFonts"][0].get_object()["/FontDescriptor"] for each in fonts]

    assert inner and all({"/FontFile2", "/FontFile3"} & set(each.get_object()) for each in inner)
    assert root["/MarkInfo"]["/Marked"] and "/StructTreeRoot" in root
    assert root["/Lang"] == "en" and paper.metadata.title == "Due list"


def test_a_workbook_has_dates_and_numbers_and_the_same_rows():
    book = openpyxl.load_workbook(io.BytesIO(made("xlsx")))

    head, first, *_ = book["due-list"].iter_rows(values_only=True)

    assert head == tuple(each.heading for each in COLUMNS)
    assert (first[2].date(), first[2].time()) == (DAY, time())
    assert first[:2] + first[3:] == ("Q7-V0000", "HS-1 S/N S00000", 12345.5, 1234)
    assert book["due-list"].max_row == 401
    about = [cell.value for cell in book["About"]["A"]]
    assert "https://house.invalid/due/" in about and any("O. Lind" in str(x) for x in about)


@pytest.mark.parametrize("mark", ["=", "+", "-", "@", "\t", "\r"])
def test_what_looks_like_a_formula_is_inert_in_each_file(mark):
    text = f"{mark}HYPERLINK(1)"
    listing = Listing("L", "Now", (Column("A"),), [[text]], "https://house.invalid/", "l")

    [_, line] = list(csv.reader(io.StringIO("".join(csv_of(["A"], listing.rows)))))
    sheet = openpyxl.load_workbook(io.BytesIO(made("xlsx", listing)))["l"]

    assert line == [f"'{text}"]
    assert sheet["A2"].data_type == "s"


def test_csv_reopened_has_the_same_rows_whatever_is_in_them():
    odd = [["a,b", 'say "so"', "two\nlines", "", "ü"], ["", "", "", "", ""]]

    lines = list(csv.reader(io.StringIO("".join(csv_of(list("abcde"), odd)), newline="")))

    assert lines[1:] == odd


def test_markup_and_odd_letters_are_printed_as_they_are():
    odd = "#let x = 1 *bold* $a$ <label> @ref \\ // [x] \x00 ü"
    listing = Listing("Odd", "Now", (Column("A"),), [[odd]], "https://house.invalid/", "odd")

    text = PdfReader(io.BytesIO(made("pdf", listing))).pages[0].extract_text()

    assert "#let x = 1 *bold* $a$ <label> @ref" in text and "[x]" in text


def test_an_instant_and_hours_below_nought_are_numbers_too():
    listing = Listing(
        "L",
        "Now",
        (Column("A"), Column("B")),
        [[datetime(2027, 3, 3, 10, 5, tzinfo=UTC), Minutes(-90)]],
        "https://house.invalid/",
        "l",
    )

    sheet = openpyxl.load_workbook(io.BytesIO(made("xlsx", listing)))["l"]

    assert sheet["A2"].value.isoformat() == "2027-03-03T10:05:00" and sheet["B2"].value == -1.5
