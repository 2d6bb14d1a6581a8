"""Whatever the layout: no line is lost and none is invented; nothing raises."""

from __future__ import annotations

import string

from hypothesis import given, settings
from hypothesis import strategies as st

from fleet.intake.files import RawSheet
from fleet.intake.problems import CellError
from fleet.intake.stamps import MonthCell
from fleet.own_sheets.gathered import OnRecord
from fleet.own_sheets.house import House
from fleet.own_sheets.said import Said
from fleet.own_sheets.whole import tables_from, understood

from .books import DAY, later, on

HEADS = {
    "aircraft": ("A/C", "Tail No", "REG", "Aircraft registration"),
    "position": ("POS", "Location", "Position"),
    "item": ("ITEM", "Description", "Equipment"),
    "part": ("P/N", "Part No.", "PART NUMBER"),
    "serial": ("S/N", "Serial No", "SER. NO."),
    "done:OVH": ("Last overhaul", "OVH DONE", "Overhaul date"),
    "next:OVH": ("Next overhaul", "OVH DUE", "Overhaul due"),
    "remarks": ("Remarks", "NOTES"),
}
TITLES = st.lists(st.sampled_from(["QUILL AIR", "Emergency equipment", "Rev 3", ""]), max_size=3)


@st.composite
def tables(draw: st.DrawFn) -> tuple[list[list[object]], list[str]]:
    """A table of units with titles, blanks, merged aircraft, sections, footers; and its serial numbers."""
    order = draw(st.permutations(list(HEADS)))
    heads = [draw(st.sampled_from(HEADS[role])) for role in order]
    rows: list[list[object]] = [[title] if title else [] for title in draw(TITLES)]
    rows += [[]] * draw(st.integers(0, 2)) + [list(heads)]
    serials, merged = [], draw(st.booleans())
    for a in range(draw(st.integers(1, 4))):
        tail = f"Q-A{string.ascii_uppercase[a]}X"
        for n in range(draw(st.integers(1, 5))):
            serial = f"S{a}{n}4{draw(st.integers(0, 9))}"
            serials.append(serial)
            done = on(2025, draw(st.integers(1, 12)), draw(st.integers(1, 28)))
            said = {
                "aircraft": "" if merged and n else tail,
                "position": f"{n % 4 + 1}{'LR'[n % 2]}",
                "item": "Slide",
                "part": "KA-10",
                "serial": serial,
                "done:OVH": done,
                "next:OVH": later(done, 36),
                "remarks": draw(st.sampled_from(["", "", "ok"])),
            }
            rows.append([said[role] for role in order])
        rows += [[]] * draw(st.integers(0, 1))
        if draw(st.booleans()):
            rows.append(list(heads))
    rows += draw(
        st.sampled_from(
            [[], [["TOTAL", 12]], [["Prepared by: A", "", "Checked by:"]], [[], ["Signature"]]]
        )
    )
    return rows, serials


@settings(max_examples=150, deadline=None)
@given(tables())
def test_no_unit_is_lost_and_none_is_invented(made):
    rows, serials = made

    whole = understood([RawSheet("Any", rows)], Said(), House(), DAY)

    assert [one.serial for one in whole.taken] == serials
    assert all(one.aircraft for one in whole.taken)


@settings(max_examples=150, deadline=None)
@given(tables())
def test_every_row_is_something(made):
    rows, _ = made

    layout = understood([RawSheet("Any", rows)], Said(), House(), DAY).sheets[0].layout

    parts = [*layout.titles, *layout.headings, *layout.lines, *layout.words, *layout.out]
    assert sorted(parts) == [i for i, row in enumerate(rows) if any(row)]


@st.composite
def doors(draw: st.DrawFn) -> tuple[list[list[object]], set[tuple[str, str, str]]]:
    """A line for each aircraft, columns for each door in any order; and who is where."""
    named = draw(st.lists(st.sampled_from(["1L", "1R", "2L", "2R", "3L"]), min_size=2, unique=True))
    facts = draw(st.sampled_from([["S/N"], ["P/N", "S/N"], ["S/N", "NEXT OVH"]]))
    way = draw(st.sampled_from(["Slide {} {}", "DOOR {} {}", "{} {}"]))
    heads = [way.format(door, fact) for door in named for fact in facts]
    rows: list[list[object]] = [["QUILL"], []] if draw(st.booleans()) else []
    rows.append(["A/C", *heads, "Remarks"])
    told = set()
    for a in range(draw(st.integers(2, 6))):
        row: list[object] = [f"Q-D{string.ascii_uppercase[a]}X"]
        for d, door in enumerate(named):
            is_empty = draw(st.integers(0, 5)) == 0
            serial = "" if is_empty else f"D{a}{d}62"
            if serial:
                told.add((str(row[0]), door, serial))
            cells = {
                "S/N": serial,
                "P/N": serial and "KA-10",
                "NEXT OVH": serial and on(2027, 1 + a, 3),
            }
            row += [cells[fact] for fact in facts]
        rows.append([*row, ""])
    return rows, told


@settings(max_examples=150, deadline=None)
@given(doors())
def test_of_columns_for_each_door_no_unit_is_lost_and_none_is_invented(made):
    rows, told = made
    if len({door for _, door, _ in told}) < 2:
        return

    whole = understood([RawSheet("Any", rows)], Said(), House(), DAY)

    assert {
        (one.aircraft, one.place.removeprefix("DOOR "), one.serial) for one in whole.taken
    } == told


JUNK = st.one_of(
    st.none(),
    st.text(max_size=20),
    st.integers(-(10**18), 10**18),
    st.floats(),
    st.booleans(),
    st.datetimes(),
    st.dates(),
    st.times(),
    st.builds(CellError, st.sampled_from(["#REF!", "no stored value"])),
    st.builds(MonthCell, st.dates()),
    st.sampled_from(
        [
            "A/C",
            "S/N",
            "P/N",
            "OVERHAUL",
            "NEXT",
            "DONE",
            "N/A",
            "Q-ABC",
            "1L",
            "TBA",
            "SPARES",
            "TOTAL",
            "03/04/2025",
            "JAN 26",
            "1/17",
            "FH",
            "TSN",
            "CSO",
            "As of",
            "1R",
            "Slide 1L",
            "S/N DOOR 2R",
        ]
    ),
)


@settings(max_examples=400, deadline=None)
@given(
    st.lists(st.lists(JUNK, max_size=9), max_size=14),
    st.dictionaries(st.text(max_size=8), st.text(max_size=8), max_size=4),
)
def test_junk_raises_nothing(rows, words):
    said = Said(station="S", type="T", kinds=words, places=words, mended=words)
    said.of("Junk").columns = words

    whole, made = tables_from(
        [RawSheet("Junk", rows)],
        said,
        House(),
        day=DAY,
        file="junk",
        ask_record=lambda numbers: OnRecord(),
    )

    for table in made:
        for line in range(len(table)):
            table.as_brought(line)
    assert len(whole.sheets) <= 1
