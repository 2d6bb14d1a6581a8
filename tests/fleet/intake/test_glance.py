"""A glance at a part's bytes never says *nothing* where the parser, or the library, finds something."""

from __future__ import annotations

import datetime as dt
import operator
import random
import zipfile
from pathlib import Path

import pytest
import python_calamine
from hypothesis import given
from hypothesis import strategies as st

from fleet.intake.workbooks.cells import Cells
from fleet.intake.workbooks.glance import glance_at, longest_text
from fleet.intake.workbooks.markup import text_lengths
from fleet.intake.workbooks.xlsx import check_sheets, marks_of

from .workbooks import SHARED, SHEET, parts_of, said_of, with_cells, zipped

MONTHS = frozenset({"2"})

# Cells as careless programs write them: each part of a tag in a few ways.
places = st.sampled_from(["A1", "b2", "C10", "AB7", "Z99", "AAA3", "ZZ999"])
spaces = st.sampled_from(["", " ", "\n"])
quotes = st.sampled_from(["'", '"'])


@st.composite
def attributes(draw, words):
    chosen = draw(st.permutations(sorted(words)))
    written = ""
    for word in chosen[: draw(st.integers(0, len(chosen)))]:
        quote = draw(quotes)
        value = draw(words[word])
        written += f" {draw(spaces)}{word}{draw(spaces)}={draw(spaces)}{quote}{value}{quote}"
    return written


@st.composite
def written_cells(draw):
    tag = draw(st.sampled_from(["c", "x:c", "c"]))
    words = {
        "r": places,
        "t": st.sampled_from(["n", "e", "str"]),
        "s": st.sampled_from("012"),
        "x:r": st.sampled_from(["A1", "r=&quot;A1", " s=", " t="]),
    }
    befores = ["", "<f>1</f>", "<!-- <c r='A1'> -->", "<f/>", '<f t="shared" si="0"/>', "\n"]
    before = draw(st.sampled_from(befores))
    value = draw(st.sampled_from(["<v>1</v>", "", "<v/>", "<v></v>", "<v> </v>", "<v>#N/A</v>"]))
    return f"<{tag}{draw(attributes(words))}{draw(spaces)}>{before}{value}</{tag}>"


written_rows = st.builds(
    lambda number, cells: f"<row{number}>{''.join(cells)}</row>",
    st.sampled_from(["", ' r="1"', " r = '20'", ' spans="1:8" r="3"']),
    st.lists(written_cells(), max_size=6),
)


@SHARED
@given(st.lists(written_rows, max_size=5), st.randoms(use_true_random=False))
def test_the_glance_never_says_nothing_where_something_is(tmp_path, rows, chance):
    parts = with_cells("".join(rows).encode())
    parts[SHEET] = parts[SHEET].replace(b"<worksheet ", b'<worksheet xmlns:x="y" ')
    pieces = [piece for piece in cut_by_chance(parts[SHEET], chance) if piece]
    seen, found = glance_at(pieces, MONTHS), Cells(MONTHS, reach=True)
    found.read([parts[SHEET]])
    path = zipped(tmp_path / "any.xlsx", parts)

    assert seen.has_others or not seen.is_plain or not found.marks.errors
    assert not seen.months_are_told or pairs(found.marks.month_places) <= pairs(seen.months)
    assert not seen.is_clear or (found.rows <= seen.rows and found.columns <= seen.columns)
    assert all(map(operator.le, reach_of(path), (found.rows, found.columns)))
    assert said_of(path) in {"read", "damaged", "sheet_too_wide"}


@pytest.mark.parametrize(
    "pieces",
    [
        ["<f>A1</f><v>", "</v>"],
        ["<f>A1</f>", "<v></v>"],
        ["<f>A1</f><v>1</v></c><c r='B1'><f>A1</f>", "</c>"],
        ["<f t='shared' si='0'/>", "<v>", "</v>"],
    ],
)
def test_a_formula_without_a_value_is_seen_wherever_the_piece_is_cut(pieces):
    first, *others = pieces

    seen = glance_at([f'<row r="1"><c r="A1">{first}'.encode(), *map(str.encode, others)])

    assert seen.has_others


@pytest.mark.parametrize(
    "attributes",
    [
        'r="A1" s="2"',
        "r='A1'\ns='2'",
        'r="A1" s ="2"',
        'r="A1" s= "2"',
        'r="A1" s\t=\n"2"',
        'r="A1" t="n" s="2"',
        'r="A1"  s="2"',
        's="2" r="A1"',
        'r="A1" t="n" s = "2"',
    ],
)
def test_a_month_is_told_or_left_to_be_asked_for(attributes):
    cells = '<c r="B1" s="1"><v>1</v></c>', f"<c {attributes}><v>44000</v></c>"

    seen = glance_at([f'<row r="1">{"".join(cells)}</row>'.encode()], MONTHS)

    assert not seen.months_are_told or pairs(seen.months) == {(0, 0)}


def cut_by_chance(part, chance):
    """A part in pieces that each end behind a tag."""
    begins = 0
    for end in (i + 1 for i, byte in enumerate(part) if byte == ord(">")):
        if chance.random() < 0.2:
            yield part[begins:end]
            begins = end
    yield part[begins:]


def pairs(places):
    return set(zip(places[::2], places[1::2], strict=True))


@pytest.mark.parametrize("is_busy", [False, True])
def test_of_a_long_sheet_the_same_marks_are_told_whatever_was_left_out(tmp_path, is_busy):
    chance = random.Random(20_261_125)
    sorts = {
        '<c r="{}" s="1"><v>44000</v></c>': 9,
        '<c r="{}" t="s"><v>0</v></c>': 9,
        '<c r="{}" s="2"/>': 3,
        '<c r="{}"><f>A1</f><v>3</v></c>': 3,
        '<c r="{}" s="2"><v>44000</v></c>': 2 if is_busy else 0.001,
        '<c r="{}" t="e"><f>1/0</f><v>#DIV/0!</v></c>': 1 if is_busy else 0.001,
        '<c r="{}"><f>A1</f><v></v></c>': 1 if is_busy else 0.001,
        '<c r="{}"><f t="shared" si="0"/></c>': 1 if is_busy else 0.001,
    }
    lines = []
    for row in range(1, 20_001):
        chosen = chance.choices(list(sorts), list(sorts.values()), k=6)
        cells = (cell.format(f"{'ABCDEF'[i]}{row}") for i, cell in enumerate(chosen))
        lines.append(f'<row r="{row}">{"".join(cells)}</row>')
    parts = with_cells("".join(lines).encode(), parts_of(two_formats))
    path = zipped(tmp_path / "long.xlsx", parts)
    whole = Cells(MONTHS)
    whole.read([parts[SHEET]])

    with zipfile.ZipFile(path) as archive:
        looked = check_sheets(archive, path.name)
    marks = marks_of(path, looked)["Units"]

    assert marks.errors == whole.marks.errors
    assert marks.error_places == whole.marks.error_places
    assert pairs(marks.month_places) >= pairs(whole.marks.month_places)
    assert len(whole.marks.errors) > 0
    assert looked.glances["Units"].months_are_told


def two_formats(book, sheet):
    for column, shape in enumerate(("dd/mm/yyyy", "mmm yyyy")):
        sheet.write_datetime(0, column, dt.date(2021, 2, 3), book.add_format({"num_format": shape}))
    sheet.write(0, 3, "x")


def reach_of(path: Path) -> tuple[int, int]:
    """How many rows and columns the library finds up to the last cell that holds something."""
    try:
        with python_calamine.load_workbook(str(path)) as book:
            sheet = book.get_sheet_by_name("Units")
            return (sheet.total_height + 1, sheet.total_width + 1) if sheet.height else (0, 0)
    except python_calamine.CalamineError:
        return 0, 0


runs = st.sampled_from(
    ["<t>abc</t>", "<r><t>de</t></r>", "<!-- </si> -->", "<t>a&gt;</t>", "<t>></t>", "<x/>", "\n"]
)


@SHARED
@given(st.lists(st.lists(runs, max_size=6), max_size=6), st.sampled_from(["si", "x:si"]))
def test_no_shared_text_is_longer_than_the_glance_says(texts, tag):
    markup = "".join(f"<{tag}>{''.join(text)}</{tag}>" for text in texts)
    part = f'<sst xmlns:x="y">{markup}</sst>'.encode()

    longest = longest_text([part], len(part))

    assert longest >= max(text_lengths([part]), default=0)
