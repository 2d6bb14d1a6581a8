"""Files as they are brought: what is read of them, and the one sentence where nothing is."""

# ruff: noqa: DTZ001 - a workbook knows no zone
from __future__ import annotations

import datetime as dt
import zipfile
from pathlib import Path

import openpyxl
import pytest
import xlsxwriter

from fleet.intake.files import read_file
from fleet.intake.problems import CellError, UnreadableFile
from fleet.intake.stamps import MonthCell


@pytest.fixture
def book(tmp_path: Path):
    """A workbook with one sheet, as filled by a function of the book and the sheet."""

    def make(fill, name="brought.xlsx") -> Path:
        path = tmp_path / name
        with xlsxwriter.Workbook(path) as opened:
            fill(opened, opened.add_worksheet("Units"))
        return path

    return make


def refusal(path: Path, name: str | None = None, **options) -> UnreadableFile:
    with pytest.raises(UnreadableFile) as refused:
        read_file(path, name or path.name, **options)
    assert refused.value.message.endswith(".")
    assert "Traceback" not in refused.value.message
    return refused.value


def test_a_formulas_error_is_told_and_not_taken_for_a_blank(book):
    path = book(lambda b, s: (s.write(0, 0, "x"), s.write_formula(1, 0, "=1/0", None, "#DIV/0!")))

    (sheet,) = read_file(path, "b.xlsx")

    assert sheet.rows[1] == [CellError("#DIV/0!")]


def test_a_formula_is_read_by_its_stored_value(book):
    path = book(lambda b, s: s.write_formula(0, 0, '="a"&"b"', None, "ab"))

    assert read_file(path, "b.xlsx")[0].rows == [["ab"]]


def test_a_formula_that_was_never_reckoned_is_told(tmp_path):
    path = tmp_path / "b.xlsx"
    opened = openpyxl.Workbook()
    opened.active["A1"], opened.active["B1"] = "=1+1", 5
    opened.save(path)

    (row,) = read_file(path, "b.xlsx")[0].rows

    assert isinstance(row[0], CellError)
    assert row[1] == 5


def test_a_date_cell_that_shows_month_and_year_is_a_month(book):
    def fill(b, s):
        for row, shape in enumerate(("mm/yyyy", "mmm-yy", "dd/mm/yyyy")):
            s.write_datetime(row, 0, dt.datetime(2021, 2, 1), b.add_format({"num_format": shape}))

    (sheet,) = read_file(book(fill), "b.xlsx")

    assert sheet.rows == [
        [MonthCell(dt.date(2021, 2, 1))],
        [MonthCell(dt.date(2021, 2, 1))],
        [dt.date(2021, 2, 1)],
    ]


def test_hours_as_a_duration_cell_come_as_such(book):
    path = book(lambda b, s: s.write_number(0, 0, 514.4375, b.add_format({"num_format": "[h]:mm"})))

    assert read_file(path, "b.xlsx")[0].rows == [[dt.timedelta(hours=12346, minutes=30)]]


def changed(path, change):
    """This will rewrite the first sheet of a workbook, as a program that is not careful would."""
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in parts.items():
            archive.writestr(name, change(content) if name.endswith("/sheet1.xml") else content)


def test_one_stray_cell_far_out_is_a_sentence(book):
    path = book(lambda b, s: (s.write(0, 0, "x"), s.write(1_048_575, 16_383, "stray")))

    refused = refusal(path)

    assert refused.code == "sheet_too_wide"
    assert "row 1048576 and across to column XFD" in refused.message


@pytest.mark.parametrize(
    "cell",
    [
        b'<c r="XFD1048576"><v>1</v></c>',
        b"<c\tr='XFD1048576'\n><v>1</v></c>",
        b'<c s="0" r = "xfd1048576"> <v>1</v></c>',
        b'<x:c r="XFD1048576"><x:f>1+1</x:f><x:v>2</x:v></x:c>',
        b'<c r="XFD1048576" t="inlineStr"><is><t>stray</t></is></c>',
        b'<c r="XFD1"><v>1</v></c></row><row r="1048576"><c><v>1</v></c>',
        b"<c><v>1</v></c>" * 300 + b'</row><row r="1048576"><c t="n"><v>1</v></c>',
        b'<c r="ZZZZZ1048576"><v>1</v></c>',
    ],
)
def test_a_stray_cell_that_its_row_does_not_tell_of_is_found(book, cell):
    path = book(lambda b, s: s.write(0, 0, "x"))
    changed(path, lambda xml: xml.replace(b"</row>", cell + b"</row>"))

    refused = refusal(path)

    assert refused.code == "sheet_too_wide"
    assert "row 1048576" in refused.message


def test_cells_that_name_no_place_are_read_side_by_side(book):
    path = book(lambda b, s: s.write(0, 0, "x"))
    changed(path, lambda xml: xml.replace(b"</row>", b'</row><row r="2"><c><v>7</v></c></row>'))

    assert read_file(path, "b.xlsx")[0].rows == [["x"], [7]]


def test_formatted_blanks_to_the_last_row_do_no_harm(book):
    def fill(b, s):
        shape = b.add_format({"bold": True})
        s.write(0, 0, "x")
        for row in range(30_000):
            s.write_blank(row + 1, 25, None, shape)

    assert len(read_file(book(fill), "b.xlsx")[0].rows) <= 30_001


def test_a_file_over_the_limit_is_refused_before_it_is_read(tmp_path):
    path = tmp_path / "big.xlsx"
    with path.open("wb") as opened:
        opened.truncate(200 * 2**20)

    refused = refusal(path)

    assert refused.code == "file_too_large"
    assert "200 MB" in refused.message


def test_a_zip_that_unpacks_beyond_measure_is_refused(tmp_path):
    path = tmp_path / "bomb.xlsx"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/workbook.xml", "<workbook/>")
        with archive.open("xl/worksheets/sheet1.xml", "w", force_zip64=True) as part:
            for _ in range(600):
                part.write(b"\0" * 2**20)

    assert path.stat().st_size < 2 * 2**20
    assert refusal(path).code == "unpacks_too_large"


def test_a_zip_that_is_not_a_workbook_is_refused(tmp_path):
    path = tmp_path / "papers.xlsx"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("letter.txt", "Dear all")

    assert refusal(path).code == "not_a_workbook"


OLD = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600


@pytest.mark.parametrize(
    ("content", "name", "code"),
    [
        (b"", "a.xlsx", "file_empty"),
        (b"", "a.csv", "file_empty"),
        (OLD + "Workbook".encode("utf-16-le"), "a.xls", "old_workbook"),
        (OLD + "EncryptedPackage".encode("utf-16-le"), "a.xlsx", "protected"),
        (OLD + "WordDocument".encode("utf-16-le"), "a.doc", "not_a_workbook"),
        (b"%PDF-1.7 ...", "a.xlsx", "not_a_workbook"),
        (b"%PDF-1.7 ...", "a.csv", "not_a_workbook"),
        (b"Registration;MSN", "a.xlsx", "not_a_workbook"),
        (b"PK\x03\x04" + b"\0" * 100, "a.xlsx", "damaged"),
        (b"a\x00b\x00c", "a.csv", "not_a_text"),
    ],
)
def test_what_is_no_sheet_is_one_sentence(tmp_path, content, name, code):
    path = tmp_path / name
    path.write_bytes(content)

    assert refusal(path).code == code


def test_a_truncated_workbook_is_refused_wherever_it_is_cut(book, tmp_path):
    whole = book(lambda b, s: [s.write_row(i, 0, [f"a{i}", i]) for i in range(200)]).read_bytes()
    cut = tmp_path / "cut.xlsx"

    for share in (0.1, 0.4, 0.7, 0.95, 0.999):
        cut.write_bytes(whole[: int(len(whole) * share)])

        assert refusal(cut).code in {"damaged", "not_a_workbook"}


def test_a_workbook_with_garbled_parts_is_a_sentence_or_read(book, tmp_path):
    whole = book(lambda b, s: [s.write_row(i, 0, [f"a{i}", i]) for i in range(200)]).read_bytes()
    garbled = tmp_path / "garbled.xlsx"

    for at in range(50, len(whole), 97):
        garbled.write_bytes(whole[:at] + bytes([whole[at] ^ 0xFF]) + whole[at + 1 :])
        try:
            read_file(garbled, "garbled.xlsx")
        except UnreadableFile as refused:
            assert refused.message.endswith(".")


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
@pytest.mark.parametrize("mark", [",", ";", "\t"])
def test_csv_is_read_in_the_usual_encodings_and_separators(tmp_path, encoding, mark):
    path = tmp_path / "units.csv"
    path.write_bytes(f'Part number{mark}Note\r\nQX-1{mark}"Größe{mark} 5"\r\n'.encode(encoding))

    (sheet,) = read_file(path, "units.csv")

    assert (sheet.name, sheet.is_csv) == ("units", True)
    assert sheet.rows == [["Part number", "Note"], ["QX-1", f"Größe{mark} 5"]]
