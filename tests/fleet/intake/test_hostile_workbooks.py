"""Workbooks made to cost much: each is refused with a sentence, or read at the cost of its size."""

from __future__ import annotations

import struct
import zipfile

import pytest

from .workbooks import (
    LINKS,
    SHEET,
    STRINGS,
    STYLES,
    WORKBOOK,
    parts_of,
    peak_of,
    rows_of,
    said_of,
    seconds_of,
    with_cells,
    zipped,
)

ROW = b'<row r="1">'
STRAY = b'<row r="1"><c r="A1"><v>1</v></c><c r="XFD1048576"><v>1</v></c></row>'
BROKEN = [
    b'<c r="A1" t="e">',
    b'<c r="A1" t="e"><v>#N/A</v>',
    b'<c r="A1"><f>1+1</f>',
    b'<c r="A1"><f>',
    b'<c r="A1" t="e"',
    b'<c r="A1" ',
    b"<c><v>1</v>",
    b"<c ",
    b'<row r="1">',
    b"<!--",
    b"<![CDATA[<c>",
    b"<f><c>",
    b'r="A1" ',
    b"<",
    b">",
    b"&",
]


@pytest.mark.parametrize("piece", BROKEN)
def test_what_is_left_open_costs_by_its_length(tmp_path, piece):
    few = zipped(tmp_path / "few.xlsx", with_cells(ROW + piece * 2_200))
    many = zipped(tmp_path / "many.xlsx", with_cells(ROW + piece * 22_000))

    small, large = seconds_of(few), seconds_of(many)

    assert large < 1
    assert large < 20 * max(small, 0.005)


@pytest.mark.parametrize("piece", [b"[", b"&quot;", b"\\", b"_", b"m"])
def test_a_number_format_without_end_costs_by_its_length(tmp_path, piece):
    def made(name, times):
        parts = parts_of(lambda b, s: s.write_number(0, 0, 1, b.add_format({"num_format": "MARK"})))
        parts[STYLES] = parts[STYLES].replace(b"MARK", piece * times)
        return zipped(tmp_path / name, parts)

    small, large = seconds_of(made("few.xlsx", 10_000)), seconds_of(made("many.xlsx", 100_000))

    assert large < 1
    assert large < 20 * max(small, 0.005)


@pytest.mark.parametrize("part", [SHEET, STRINGS, STYLES, WORKBOOK, LINKS])
@pytest.mark.parametrize("element", [b"<c>", b"<x>", b"<si>"])
def test_elements_in_each_other_without_end_cost_little(tmp_path, part, element):
    parts = parts_of()
    at = parts[part].index(b">", parts[part].index(b"?>") + 2) + 1
    parts[part] = parts[part][:at] + element * 2_000_000 + parts[part][at:]

    peak, said = peak_of(zipped(tmp_path / "deep.xlsx", parts))

    assert said in {"damaged", "read"}
    assert peak < 150


@pytest.mark.parametrize("part", [SHEET, STRINGS, STYLES, WORKBOOK, LINKS])
def test_entities_of_a_parts_own_are_never_told(tmp_path, part):
    parts = parts_of()
    laughs = "".join(f'<!ENTITY l{i + 1} "{f"&l{i};" * 10}">' for i in range(9))
    head = f'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY l0 "lol">{laughs}]>'.encode()
    body = parts[part][parts[part].index(b"?>") + 2 :]
    at = body.index(b">") + 1
    parts[part] = head + body[:at] + b"<v>&l9;</v>" + body[at:]
    path = zipped(tmp_path / "laughs.xlsx", parts)

    said, spent = said_of(path), seconds_of(path)

    assert said == "damaged" or (part == STRINGS and rows_of(path) == [["x"]])
    assert spent < 1


def test_one_long_text_in_very_many_cells_is_a_sentence(tmp_path):
    row = '<row r="{0}"><c r="A{0}" t="s"><v>0</v></c></row>'
    parts = with_cells("".join(row.format(i) for i in range(1, 1_001)).encode())
    parts[STRINGS] = b"<sst><si><t>" + b"a" * 500_000 + b"</t></si></sst>"
    path = zipped(tmp_path / "echo.xlsx", parts)

    peak, said = peak_of(path)

    assert path.stat().st_size < 20_000
    assert said == "text_too_long"
    assert peak < 100


@pytest.mark.parametrize(
    "disguise",
    [
        b"<!-- </si> -->",
        b'<r x="</si>"><t>y</t></r>',
        b"<![CDATA[</si>]]>",
        b"<?x </si>?>",
        b"<rPh><t>y</t></rPh>",
    ],
)
def test_a_long_text_is_found_whatever_stands_in_it(tmp_path, disguise):
    row = '<row r="{0}"><c r="A{0}" t="s"><v>0</v></c></row>'
    parts = with_cells("".join(row.format(i) for i in range(1, 1_001)).encode())
    run = b"<r><t>" + b"a" * 5_000 + b"</t></r>" + disguise
    parts[STRINGS] = b"<sst><si>" + run * 100 + b"</si></sst>"

    peak, said = peak_of(zipped(tmp_path / "echo.xlsx", parts))

    assert said in {"text_too_long", "damaged"}
    assert peak < 100


def test_a_text_that_is_long_in_few_cells_is_read(tmp_path):
    def fill(book, sheet):
        sheet.write(0, 0, "a" * 32_000)
        for row in range(1, 20_000):
            sheet.write(row, 0, f"S{row % 7}")

    assert said_of(zipped(tmp_path / "notes.xlsx", parts_of(fill))) == "read"


def test_shared_texts_of_ten_megabytes_are_read_in_bounded_time(tmp_path):
    def fill(book, sheet):
        for row in range(10_000):
            sheet.write(row, 0, f"{row:08d}" * 128)

    path = zipped(tmp_path / "texts.xlsx", parts_of(fill))

    spent, (peak, said) = seconds_of(path, tries=1), peak_of(path)

    assert said == "read"
    assert spent < 2
    assert peak < 150


def test_a_stray_cell_in_a_small_sheet_costs_little_memory(tmp_path):
    parts = with_cells(
        b'<row r="1"><c r="A1"><v>1</v></c></row><row r="400000"><c r="Z400000"><v>1</v></c></row>'
    )

    peak, said = peak_of(zipped(tmp_path / "stray.xlsx", parts))

    assert said == "sheet_too_wide"
    assert peak < 50


def test_sixty_sheets_that_each_reach_far_are_a_sentence(tmp_path):
    def fill(book, sheet):
        for i in range(60):
            sheet.write(0, 0, "x")
            sheet.write(60_000, 25, "stray")
            sheet = book.add_worksheet(f"Sheet {i}")

    peak, said = peak_of(zipped(tmp_path / "sixty.xlsx", parts_of(fill)))

    assert said == "sheet_too_wide"
    assert peak < 100


def test_sixty_sheets_of_lines_are_read(tmp_path):
    def fill(book, sheet):
        for i in range(60):
            for row in range(200):
                sheet.write_row(row, 0, ["a", row, f"b{row}"])
            sheet = book.add_worksheet(f"Sheet {i}")

    path = zipped(tmp_path / "sixty.xlsx", parts_of(fill))

    assert said_of(path) == "read"
    assert seconds_of(path, tries=1) < 2


def test_a_file_that_unpacks_to_a_thousand_times_its_size_is_a_sentence(tmp_path):
    parts = with_cells(b" " * 40_000_000)
    path = zipped(tmp_path / "bomb.xlsx", parts)

    peak, said = peak_of(path)

    assert path.stat().st_size < 60_000
    assert said == "unpacks_too_large"
    assert peak < 50


@pytest.mark.parametrize("part", [SHEET, STRINGS, STYLES, WORKBOOK, LINKS])
def test_a_part_that_is_longer_than_the_zip_says_is_a_sentence(tmp_path, part):
    parts = with_cells(b'<row r="1"><c r="A1"><v>1</v></c></row>' + STRAY)
    whole = parts[part]
    told = whole[: whole.index(STRAY)] if part == SHEET else whole[:-20]
    path = zipped(tmp_path / "lies.xlsx", parts)
    with zipfile.ZipFile(path) as archive:
        entry = archive.getinfo(part)
        before = struct.pack("<LLL", entry.CRC, entry.compress_size, entry.file_size)
    after = struct.pack("<LLL", zipfile.crc32(told), entry.compress_size, len(told))
    path.write_bytes(path.read_bytes().replace(before, after))

    assert said_of(path) == "damaged"


@pytest.mark.parametrize(
    ("target", "part"),
    [
        ("worksheets/sheet9.xml", "xl/worksheets/sheet9.xml"),
        ("/xl/worksheets/sheet9.xml", "xl/worksheets/sheet9.xml"),
        ("xl/worksheets/sheet9.xml", "xl/worksheets/sheet9.xml"),
        ("worksheets/sheet9.xml", "XL/WorkSheets/SHEET9.xml"),
        ("worksheets/sheet9.xml", "xl\\worksheets\\sheet9.xml"),
        ("worksheets/a/../sheet9.xml", "xl/worksheets/sheet9.xml"),
        ("../other/worksheets/sheet9.xml", "other/worksheets/sheet9.xml"),
        ("./worksheets/sheet9.xml", "xl/worksheets/sheet9.xml"),
        ("worksheets/_rels/sheet9.xml.rels", "xl/worksheets/_rels/sheet9.xml.rels"),
        ("sheet9.xml", "xl/sheet9.xml"),
    ],
)
def test_a_stray_cell_is_found_wherever_the_sheet_lies(tmp_path, target, part):
    parts = with_cells(STRAY)
    parts[part] = parts.pop(SHEET)
    parts[LINKS] = parts[LINKS].replace(b"worksheets/sheet1.xml", target.encode())

    assert said_of(zipped(tmp_path / "far.xlsx", parts)) in {"sheet_too_wide", "damaged"}


def test_two_parts_of_one_name_are_a_sentence(tmp_path):
    parts = parts_of()
    twin = with_cells(STRAY)[SHEET]

    for order in ([SHEET, SHEET.upper()], [SHEET.upper(), SHEET]):
        contents = dict(zip(order, (parts[SHEET], twin), strict=True))
        rest = {name: content for name, content in parts.items() if name != SHEET}
        path = zipped(tmp_path / "twins.xlsx", {**contents, **rest})

        assert said_of(path) in {"damaged", "sheet_too_wide"}


def test_very_many_sheets_of_one_part_are_a_sentence(tmp_path):
    parts = with_cells(b'<row r="1"><c r="A1"><v>1</v></c></row>' * 20_000)
    (one,) = [line for line in parts[WORKBOOK].split(b"/>") if b"<sheet " in line]
    one = one[one.index(b"<sheet ") :] + b"/>"
    others = (one.replace(b'"Units"', b'"Units%d"' % i) for i in range(5_000))
    parts[WORKBOOK] = parts[WORKBOOK].replace(one, one + b"".join(others))

    assert said_of(zipped(tmp_path / "again.xlsx", parts)) == "damaged"


def test_very_many_sheets_of_one_name_are_a_sentence(tmp_path):
    def fill(book, sheet):
        for i in range(40):
            book.add_worksheet(f"Sheet {i:02d}")

    parts = parts_of(fill)
    for i in range(40):
        parts[WORKBOOK] = parts[WORKBOOK].replace(b'"Sheet %02d"' % i, b'"Units"')

    assert said_of(zipped(tmp_path / "again.xlsx", parts)) == "damaged"


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-32"])
def test_a_sheet_in_an_encoding_that_is_not_read_is_not_taken_for_empty(tmp_path, encoding):
    parts = parts_of()
    parts[SHEET] = parts[SHEET].decode().replace("UTF-8", "UTF-16").encode(encoding)

    assert said_of(zipped(tmp_path / "wide.xlsx", parts)) == "damaged"
