"""Own files as they come: OpenDocument, CSV with its marks, and thirty thousand rows."""

from __future__ import annotations

import time
import zipfile
from pathlib import Path
from xml.sax.saxutils import escape

import pytest

from fleet.intake.files import RawSheet
from fleet.intake.problems import UnreadableFile
from fleet.loading.own import sheets_in
from fleet.own_sheets.house import House
from fleet.own_sheets.said import Said
from fleet.own_sheets.whole import Understood, understood

from .books import BOOKS, DAY, Rows, later, on

NAMES = (
    'xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" '
    'xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" '
    'xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0"'
)


def cell_of(cell: object) -> str:
    if cell == "":
        return "<table:table-cell/>"
    if hasattr(cell, "isoformat"):
        return f'<table:table-cell office:value-type="date" office:date-value="{cell:%Y-%m-%d}"><text:p>{cell:%d/%m/%y}</text:p></table:table-cell>'
    if isinstance(cell, int):
        return f'<table:table-cell office:value-type="float" office:value="{cell}"><text:p>{cell}</text:p></table:table-cell>'
    lines = "".join(f"<text:p>{escape(line)}</text:p>" for line in str(cell).split("\n"))
    return f'<table:table-cell office:value-type="string">{lines}</table:table-cell>'


def ods(sheets: dict[str, Rows], path: Path, *, more: str = "", manifest: str = "") -> Path:
    """An OpenDocument spreadsheet as office programs write it; ``more`` goes after the last row."""
    tables = "".join(
        f'<table:table table:name="{escape(name)}">'
        + "".join(
            "<table:table-row>"
            + ("".join(map(cell_of, row)) or "<table:table-cell/>")
            + "</table:table-row>"
            for row in rows
        )
        + more
        + "</table:table>"
        for name, rows in sheets.items()
    )
    content = f'<?xml version="1.0"?><office:document-content {NAMES}><office:body><office:spreadsheet>{tables}</office:spreadsheet></office:body></office:document-content>'
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        archive.writestr("content.xml", content)
        archive.writestr("META-INF/manifest.xml", f"<manifest>{manifest}</manifest>")
    return path


def read(path: Path) -> Understood:
    return understood(sheets_in(path, path.name), Said(), House(), DAY)


def test_an_opendocument_spreadsheet_is_read_like_any_other(tmp_path):
    whole = read(ods(BOOKS["status"](), tmp_path / "own.ods"))
    same = understood([RawSheet(n, r) for n, r in BOOKS["status"]().items()], Said(), House(), DAY)

    assert [one.key for one in whole.seen] == [one.key for one in same.seen]
    assert [one.next for one in whole.seen] == [one.next for one in same.seen]


@pytest.mark.parametrize(
    ("more", "manifest", "code"),
    [
        ("", "<encryption-data/>", "protected"),
        (
            '<table:table-row table:number-rows-repeated="1048576"><table:table-cell table:number-columns-repeated="900" office:value-type="float" office:value="1"/></table:table-row>',
            "",
            "too_many_cells",
        ),
        ("</table:nothing>", "", "damaged"),
    ],
)
def test_an_opendocument_spreadsheet_of_bad_faith_is_a_sentence(tmp_path, more, manifest, code):
    with pytest.raises(UnreadableFile) as refused:
        read(ods(BOOKS["spares"](), tmp_path / "own.ods", more=more, manifest=manifest))

    assert refused.value.code == code


def test_empty_rows_repeated_to_the_end_are_no_cells(tmp_path):
    more = '<table:table-row table:number-rows-repeated="1048000"><table:table-cell table:number-columns-repeated="1024"/></table:table-row>'

    whole = read(ods(BOOKS["spares"](), tmp_path / "own.ods", more=more))

    assert len(whole.taken) == 17


def test_a_csv_of_another_country(tmp_path):
    path = tmp_path / "liste.csv"
    path.write_bytes(
        "Kennzeichen;Einbauort;Bezeichnung;Teilenummer;Seriennummer;Herstelldatum\n"
        "Q-DAA;1L;Slide;T-10;S0001;13.02.2019\nQ-DAA;1R;Slide;T-10;S0002;03.04.2019\n".encode(
            "cp1252"
        )
    )

    whole = read(path)

    assert [column.role for column in whole.sheets[0].columns] == [
        "aircraft",
        "position",
        "item",
        "part",
        "serial",
        "made",
    ]
    assert [question.field for question in whole.questions] == ["type", "station"]


def test_thirty_thousand_rows_are_proposed_in_seconds():
    rows: Rows = [["A/C", "POS", "ITEM", "P/N", "S/N", "LAST OVH", "NEXT OVH", "REMARKS"]]
    for n in range(30_000):
        done = on(2024, 1 + n % 12, 1 + n % 28)
        rows.append(
            [
                f"Q-{chr(65 + n // 676 % 26)}{chr(65 + n // 26 % 26)}{chr(65 + n % 26)}",
                ("1L", "1R", "Fwd galley", f"Seat {n % 40}")[n % 4],
                ("Slide", "PBE", "Life vest", "Fire ext")[n % 4],
                f"P-{n % 50}00",
                f"{n:06d}",
                done,
                later(done, 36),
                "",
            ]
        )

    begun = time.process_time()
    whole = understood([RawSheet("Fleet", rows)], Said(), House(), DAY)
    took = time.process_time() - begun

    assert len(whole.taken) == 30_000
    assert took < 10, f"{took:.1f} s of one core"
