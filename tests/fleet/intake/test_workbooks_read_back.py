"""Any small workbook is read back as it was written; any part of it spoilt is a sentence, or read."""

from __future__ import annotations

import datetime as dt
import re

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from fleet.intake.problems import CellError
from fleet.intake.stamps import MonthCell
from fleet.intake.workbooks.cells import Cells
from fleet.intake.workbooks.markup import BrokenMarkup

from .workbooks import (
    LINKS,
    SHARED,
    SHEET,
    STRINGS,
    STYLES,
    WORKBOOK,
    parts_of,
    rows_of,
    said_of,
    with_cells,
    zipped,
)

MONTHS = ("mm/yyyy", "mmm-yy", "yyyy-mm", '"Q" mmmm yyyy', "[$-409]mmm yy;@")
DAYS = ("dd/mm/yyyy", "yyyy-mm-dd", '"m"d/m/yy')
ERRORS = ("#DIV/0!", "#N/A", "#NAME?", "#NULL!", "#NUM!", "#REF!", "#VALUE!")
days = st.dates(dt.date(1950, 1, 1), dt.date(2150, 12, 31))
numbers = st.decimals(-(10**6), 10**6, places=6).map(float)  # XlsxWriter keeps 16 digits
texts = st.one_of(
    st.text(st.characters(categories=("L", "N", "P", "S", "Zs")), max_size=12),
    st.sampled_from(["007", "#N/A", "1E5", "TRUE", "2026-11-25", " x ", "<c>", "a&b", "'"]),
).filter(lambda text: "_x" not in text.lower())
cells = st.one_of(
    st.tuples(st.just("text"), texts),
    st.tuples(st.just("number"), st.integers(-(10**9), 10**9) | numbers),
    st.tuples(st.just("truth"), st.booleans()),
    st.tuples(st.just("error"), st.sampled_from(ERRORS)),
    st.tuples(st.just("reckoned"), st.sampled_from(["ab", "7x"])),
    st.tuples(st.sampled_from(DAYS), days),
    st.tuples(st.sampled_from(MONTHS), days),
    st.tuples(st.just("blank"), st.none()),
    st.tuples(st.just("nothing"), st.none()),
)


def write(book, sheet, at, kind, value):
    if kind == "text":
        sheet.write_string(*at, value)
    elif kind == "number":
        sheet.write_number(*at, value)
    elif kind == "truth":
        sheet.write_boolean(*at, value)
    elif kind in {"error", "reckoned"}:
        sheet.write_formula(*at, "=A1", None, value)
    elif kind in {*DAYS, *MONTHS}:
        sheet.write_datetime(*at, value, book.add_format({"num_format": kind}))
    elif kind == "blank":
        sheet.write_blank(*at, None, book.add_format({"bold": True}))


def told(kind, value):
    """What is read of a cell that was written so."""
    if kind in MONTHS:
        return MonthCell(value)
    if kind == "error":
        return CellError(value)
    return "" if value is None else value


def without_blanks(rows):
    """Rows without the blanks behind their last value, and each value with its sort."""
    kept = []
    for row in rows:
        filled = [i for i, cell in enumerate(row) if cell != ""]
        cells = row[: filled[-1] + 1] if filled else []
        kept.append([(float if type(cell) is int else type(cell), cell) for cell in cells])
    while kept and not kept[-1]:
        kept.pop()
    return kept


@SHARED
@given(st.lists(st.lists(cells, max_size=5), max_size=5))
def test_what_was_written_is_read_back(tmp_path, grid):
    def fill(book, sheet):
        for i, row in enumerate(grid):
            for j, (kind, value) in enumerate(row):
                write(book, sheet, (i, j), kind, value)

    rows = rows_of(zipped(tmp_path / "any.xlsx", parts_of(fill)))

    assert without_blanks(rows) == without_blanks([[told(*cell) for cell in row] for row in grid])


@SHARED
@given(st.integers(0, 3), st.integers(0, 3), st.booleans())
def test_a_formula_without_a_value_is_told_wherever_it_stands(tmp_path, row, column, is_empty):
    place = f"{'ABCD'[column]}{row + 1}"
    value = "<v></v>" if is_empty else ""
    cell = f'<row r="{row + 1}"><c r="{place}"><f>1+1</f>{value}</c></row>'
    parts = with_cells(cell.encode())

    rows = rows_of(zipped(tmp_path / "unsaved.xlsx", parts))

    assert isinstance(rows[row][column], CellError)


@pytest.mark.parametrize(
    "cell",
    [
        '<c r="B2" t="e"><v>#REF!</v></c>',
        "<c r='B2' t='e'><v>#REF!</v></c>",
        '<c t = "e"\n\tr = "B2" ><f>A1</f><v >#REF!</v ></c >',
        '<x:c r="B2" t="e"><x:v>#REF!</x:v></x:c>',
        '<c r="b2" t="e"><!-- <v>no</v> --><v>#REF!</v></c>',
        '<c r="A2"><v>1</v></c><c t="e"><f>A1</f>\n<v>#REF!</v>\n</c>',
        '<c r="A2"/><c t="e"><v>#REF!</v></c>',
    ],
)
def test_an_error_is_told_however_its_cell_is_written(tmp_path, cell):
    parts = with_cells(f'<row r="2">{cell}</row>'.encode())

    rows = rows_of(zipped(tmp_path / "error.xlsx", parts))

    assert isinstance(rows[1][1], CellError)
    assert rows[1][1] == "#REF!"


def test_a_month_is_told_of_its_own_format_and_not_of_one_for_highlighting(tmp_path):
    def fill(book, sheet):
        day = book.add_format({"num_format": "dd/mm/yyyy"})
        sheet.write_datetime(0, 0, dt.date(2021, 2, 3), day)

    parts = parts_of(fill)
    lit = b'<dxfs><dxf><numFmt numFmtId="164" formatCode="mmm yyyy"/></dxf></dxfs></styleSheet>'
    parts[STYLES] = parts[STYLES].replace(b"</styleSheet>", lit)

    assert b'numFmtId="164" formatCode="dd/mm/yyyy"' in parts[STYLES]
    assert rows_of(zipped(tmp_path / "lit.xlsx", parts)) == [[dt.date(2021, 2, 3)]]


@pytest.mark.parametrize(
    "target",
    [
        "worksheets/sheet1.xml",
        "/xl/worksheets/sheet1.xml",
        "xl/worksheets/sheet1.xml",
        "./worksheets/sheet1.xml",
        "../xl/worksheets/sheet1.xml",
        "worksheets/./sheet1.xml",
        "worksheets//sheet1.xml",
        "Worksheets/Sheet1.xml",
        "worksheets\\sheet1.xml",
    ],
)
def test_an_error_is_told_wherever_the_sheet_is_said_to_lie(tmp_path, target):
    parts = with_cells(b'<row r="1"><c r="A1" t="e"><v>#REF!</v></c><c r="B1"><v>1</v></c></row>')
    parts[LINKS] = parts[LINKS].replace(b"worksheets/sheet1.xml", target.encode())
    path = zipped(tmp_path / "error.xlsx", parts)

    assert said_of(path) == "damaged" or isinstance(rows_of(path)[0][0], CellError)


SPOILERS = [
    b"",
    b"<",
    b">",
    b'"',
    b"'",
    b"&",
    b"</c>",
    b"<c>",
    b'<c r="ZZ9999">',
    b"<!--",
    b"]]>",
    b"<![CDATA[",
    b"\x00",
    b"\xff\xfe",
    b"9999999999",
    b"XFD1048576",
    b' r="A1" r="B2"',
    b"<row>",
    b"<!DOCTYPE x>",
    b't="e"',
    b"<f>",
    b":",
]


@SHARED
@given(
    st.sampled_from([SHEET, STRINGS, STYLES, WORKBOOK, LINKS]),
    st.lists(st.tuples(st.integers(0), st.integers(0, 6), st.sampled_from(SPOILERS)), max_size=4),
)
def test_a_part_that_is_spoilt_is_a_sentence_or_read(tmp_path, part, changes):
    parts = parts_of(fill_all_sorts)
    for at, length, spoiler in changes:
        begins = at % len(parts[part])
        parts[part] = parts[part][:begins] + spoiler + parts[part][begins + length :]

    assert re.fullmatch("[a-z_]+", said_of(zipped(tmp_path / "spoilt.xlsx", parts)))


def fill_all_sorts(book, sheet):
    month = book.add_format({"num_format": "mmm yyyy"})
    for row in range(3):
        sheet.write_row(row, 0, ["a", f"b{row}", row])
        sheet.write_datetime(row, 3, dt.date(2021, 2, 3), month)
        sheet.write_formula(row, 4, "=1/0", None, "#DIV/0!")
    sheet.merge_range("A5:B6", "merged")


@SHARED
@given(st.binary(max_size=200), st.sampled_from([SHEET, STRINGS, STYLES, WORKBOOK, LINKS]))
def test_a_part_of_other_bytes_is_a_sentence_or_read(tmp_path, content, part):
    parts = {**parts_of(), part: content}

    assert said_of(zipped(tmp_path / "bytes.xlsx", parts)) in {"damaged", "read"}


@SHARED
@given(st.sampled_from([SHEET, STRINGS, STYLES, WORKBOOK, LINKS]), st.binary(max_size=60))
def test_markup_is_read_or_broken_and_nothing_else(part, content):
    whole = parts_of()[part]
    at = len(content) * 7 % len(whole)
    assume(content)

    for look in (Cells(), Cells(frozenset({"0"}), reach=True, lengths=[5])):
        try:
            look.read([whole[:at], content, whole[at:]])
        except BrokenMarkup as broken:
            assert str(broken)
