"""A glance at a part's bytes never says *nothing* where the parser, or the library, finds something."""

from __future__ import annotations

import operator
from pathlib import Path

import python_calamine
from hypothesis import given
from hypothesis import strategies as st

from fleet.intake.cells import Cells
from fleet.intake.glance import glance_at, longest_text
from fleet.intake.markup import text_lengths

from .workbooks import SHARED, SHEET, said_of, with_cells, zipped

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
        "s": st.just("0"),
        "x:r": st.sampled_from(["A1", 'r="A1'.replace('"', "&quot;"), " t="]),
    }
    before = draw(st.sampled_from(["", "<f>1</f>", "<!-- <c r='A1'> -->", "<f/>", "\n"]))
    value = draw(st.sampled_from(["<v>1</v>", "", "<v/>", "<v>#N/A</v>"]))
    return f"<{tag}{draw(attributes(words))}{draw(spaces)}>{before}{value}</{tag}>"


written_rows = st.builds(
    lambda number, cells: f"<row{number}>{''.join(cells)}</row>",
    st.sampled_from(["", ' r="1"', " r = '20'", ' spans="1:8" r="3"']),
    st.lists(written_cells(), max_size=6),
)


@SHARED
@given(st.lists(written_rows, max_size=5))
def test_the_glance_never_says_nothing_where_something_is(tmp_path, rows):
    parts = with_cells("".join(rows).encode())
    parts[SHEET] = parts[SHEET].replace(b"<worksheet ", b'<worksheet xmlns:x="y" ')
    seen, found = glance_at([parts[SHEET]]), Cells(reach=True)
    found.read([parts[SHEET]])
    path = zipped(tmp_path / "any.xlsx", parts)

    assert seen.has_others or not found.marks
    assert not seen.is_clear or (found.rows <= seen.rows and found.columns <= seen.columns)
    assert all(map(operator.le, reach_of(path), (found.rows, found.columns)))
    assert said_of(path) in {"read", "damaged", "sheet_too_wide"}


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
