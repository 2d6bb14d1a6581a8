"""Spreadsheets of random bytes, cells and layouts: a sentence or a reading, never a fault of the program."""

from __future__ import annotations

import csv
import datetime as dt
import io
import random
import zipfile

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fleet.intake.files import RawSheet
from fleet.intake.problems import UnreadableFile
from fleet.loading.own import sheets_in
from fleet.own_sheets.beside.claims import claims_of
from fleet.own_sheets.beside.given_back import marked
from fleet.own_sheets.gathered import OnRecord
from fleet.own_sheets.house import House
from fleet.own_sheets.said import Said
from fleet.own_sheets.whole import tables_from

from . import books, newcomers, strangers
from .books import DAY, Rows, written

BOOKS = books.BOOKS | strangers.BOOKS | newcomers.BOOKS
PIECES = [
    "Q-ABA",
    "1L",
    "L1",
    "R1",
    "SLIDE S/N",
    "S/N",
    "P/N",
    "NEXT OVH FH",
    "A/C TT",
    "TSO",
    "B/F",
    "TOTAL",
    "3 Mar 2028 / 23,400 FH",
    "36 MO / 3000 FH",
    "Due 31/02/2026 (x)",
    "12,345:99 FH",
    "9" * 40 + " FC",
    "Überholung nächste",
    "PBE 1 EXP",
    "PBE 2 S/N",
    "\u202e04108",
    "=1/0",
    "١٢٣٤",
    "²³",
    "-0",
    "1e400",
    "\x00",
    "x" * 5000,
]


def understood_without_a_fault(raws: list[RawSheet]) -> None:
    """All that pages, the job and the way back do with sheets."""
    said = Said(station="QMB", type="T", months={"SLIDE OVH": "36"}, hours={"SLIDE OVH": "3000"})
    whole, tables = tables_from(
        raws, said, House(), day=DAY, file="fuzz", ask_record=lambda _: OnRecord()
    )
    claims_of(whole.taken, whole.sheets, House(), said)
    for table in tables:
        for line in range(len(table)):
            row, _ = table.place_of(line, "serial")
            assert row >= 1
            table.as_brought(line)
    why = {1: ({"A1"}, ["why"])}
    assert marked([(raw.name, raw, why) for raw in raws])[:2] == b"PK"


cells = st.one_of(
    st.sampled_from(PIECES),
    st.text(max_size=12),
    st.integers(-(10**20), 10**20),
    st.floats(),
    st.dates(dt.date(1900, 1, 1), dt.date(9999, 12, 31)),
    st.datetimes(dt.datetime(1900, 1, 1), dt.datetime(9999, 12, 31)),  # noqa: DTZ001
    st.timedeltas(),
    st.times(),
    st.none(),
    st.booleans(),
)


@settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.lists(st.lists(cells, max_size=8), max_size=12),
    st.lists(st.lists(cells, max_size=5), max_size=5),
)
def test_random_cells(first, second):
    understood_without_a_fault([RawSheet("A", first), RawSheet("B", second)])


@settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.sampled_from(sorted(BOOKS)), st.randoms(use_true_random=False))
def test_spoiled_layouts(name, chance):
    """A workbook as it is kept, with cells, rows and columns replaced, moved, dropped and said again."""
    raws = []
    for sheet, rows in BOOKS[name]().items():
        raws.append(RawSheet(sheet, spoiled(rows, chance)))
    understood_without_a_fault(raws)


def spoiled(rows: Rows, chance: random.Random) -> Rows:
    for _ in range(chance.randint(0, 12)):
        if rows:
            chance.choice(SPOILS)(rows, chance.randrange(len(rows)), chance)
    return rows


def a_cell(rows: Rows, at: int, chance: random.Random) -> None:
    if rows[at]:
        rows[at][chance.randrange(len(rows[at]))] = chance.choice([*PIECES, 7, -1.5, None])


def a_column(rows: Rows, at: int, chance: random.Random) -> None:
    column = chance.randrange(12)
    for row in rows:
        row[column : column + 1] = []


def pushed_aside(rows: Rows, at: int, chance: random.Random) -> None:
    for row in rows:
        row.insert(0, "")


SPOILS = [
    a_cell,
    a_column,
    pushed_aside,
    lambda rows, at, chance: rows.insert(at, list(chance.choice(rows))),
    lambda rows, at, chance: rows.pop(at),
    lambda rows, at, chance: rows[at].extend(rows[at][:20]),
]


def contents() -> list[tuple[str, bytes]]:
    chance = random.Random(11)
    found = []
    for n in range(40):
        size = chance.choice([1, 3, 50, 4000])
        noise = bytes(chance.randrange(256) for _ in range(size))
        start = chance.choice(
            [b"", b"PK\x03\x04", b"\xef\xbb\xbf", b"\xff\xfe", b"\xd0\xcf\x11\xe0"]
        )
        found.append((f"noise{n}.{chance.choice(['xlsx', 'csv', 'ods', 'txt'])}", start + noise))
    return found


@pytest.mark.parametrize(("name", "content"), contents(), ids=[name for name, _ in contents()])
def test_random_bytes_are_a_sentence_or_cells(tmp_path, name, content):
    path = tmp_path / name
    path.write_bytes(content)

    read_or_refused(path)


def read_or_refused(path) -> None:
    try:
        raws = sheets_in(path, path.name)
    except UnreadableFile as refused:
        assert refused.message
    else:
        understood_without_a_fault(raws)


@pytest.mark.parametrize("seed", range(30))
def test_a_workbook_with_torn_bytes(tmp_path, seed):
    chance = random.Random(seed)
    path = written(BOOKS[chance.choice(sorted(BOOKS))](), tmp_path / "own.xlsx")
    content = bytearray(path.read_bytes())
    for _ in range(chance.randint(1, 30)):
        content[chance.randrange(len(content))] = chance.randrange(256)
    path.write_bytes(content[: chance.choice([len(content), len(content) // 2])])

    read_or_refused(path)


@pytest.mark.parametrize("seed", range(20))
def test_a_part_of_a_workbook_with_torn_markup(tmp_path, seed):
    chance = random.Random(seed)
    path = written(BOOKS["status"](), tmp_path / "own.xlsx")
    torn = tmp_path / "torn.xlsx"
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(torn, "w") as new:
        spoils = chance.choice(old.namelist())
        for name in old.namelist():
            part = bytearray(old.read(name))
            for _ in range(chance.randint(1, 8) if name == spoils and part else 0):
                part[chance.randrange(len(part))] = chance.choice(b"<>&\"'/= 0A\x00\xff")
            new.writestr(name, bytes(part))

    read_or_refused(torn)


@settings(max_examples=100, deadline=None)
@given(st.lists(st.lists(st.sampled_from(PIECES), max_size=6), max_size=8), st.sampled_from(",;\t"))
def test_random_lines_of_text(tmp_path_factory, lines, mark):
    text = io.StringIO()
    csv.writer(text, delimiter=mark).writerows(lines)
    path = tmp_path_factory.mktemp("csv") / "own.csv"
    path.write_text(text.getvalue(), encoding="utf-8", errors="replace")

    read_or_refused(path)
