from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from equipment.codes.label import write_label
from equipment.codes.mark import Dated
from equipment.codes.near import near_matches, shape_of
from equipment.codes.read import read_mark

GS = "\x1d"


def read(text):
    return read_mark(text, year=2026)


def codes(mark):
    return [one.code for one in mark.doubts]


def format_06(*elements):
    return f"[)>\x1e06{GS}{GS.join(elements)}\x1e\x04"


@pytest.mark.parametrize(
    ("text", "part", "serial"),
    [
        ("P/N 4202435-01 S/N 674A36458", "4202435-01", "674A36458"),
        ("p/n: 4202435-01, s/n: 674A36458", "4202435-01", "674A36458"),
        ("PN 42-01\nSN 7", "42-01", "7"),
        ("Serial No. 7A", None, "7A"),
        ("SER NO", None, None),
    ],
)
def test_typed_text_is_read_where_labels_say_what_is_what(text, part, serial):
    mark = read(text)

    assert (mark.part_number, mark.serial) == (part, serial)


def test_a_bare_number_is_neither_a_part_nor_a_serial_until_somebody_says():
    mark = read("4202435-01")

    assert (mark.sort, mark.part_number, mark.serial) == ("plain", None, None)
    assert codes(mark) == ["which_is_not_said"]


@pytest.mark.parametrize(
    ("written", "read_as"),
    [
        ("20240229", Dated(date(2024, 2, 29))),
        ("20240200", Dated(date(2024, 2, 29), is_month=True)),
        ("2024-02", Dated(date(2024, 2, 29), is_month=True)),
        ("2024-02-03", Dated(date(2024, 2, 3))),
    ],
)
def test_days_of_data_identifiers_have_eight_digits(written, read_as):
    assert read(format_06("17V98897", f"16D{written}")).manufactured == read_as
    assert read(format_06("17V98897", f"14D{written}")).expires == read_as


@pytest.mark.parametrize(
    "written", ["240229", "20230229", "20241301", "soon", "00000101", "２０２４０２２９"]
)
def test_a_day_that_cannot_be_is_said_and_left_out(written):
    mark = read(format_06("17V98897", f"14D{written}"))

    assert mark.expires is None
    assert codes(mark) == ["date_not_read"]


def test_two_values_for_one_fact_are_said_and_neither_is_taken():
    mark = read(format_06("17V98897", "S1", "S2"))

    assert mark.serial is None
    assert codes(mark) == ["said_twice"]
    assert read(format_06("17V98897", "S1", "S1")).serial == "1"


def test_a_maker_and_serial_in_one_value_are_told_apart_by_the_makers_five_characters():
    mark = read(format_06("18S98897S1"))

    assert (mark.maker_code, mark.serial, mark.unique_by) == ("98897", "S1", "maker_serial")
    assert codes(read(format_06("18S988"))) == ["wrong_length"]


def test_elements_that_say_nothing_of_a_part_are_kept_as_they_stand():
    mark = read(format_06("17V98897", "2BM1234", "99XWHAT"))

    assert [(one.identifier, one.value) for one in mark.elements[1:]] == [
        ("2B", "M1234"),
        ("99X", "WHAT"),
    ]
    assert codes(mark) == []


def test_an_asset_number_gives_its_serial_after_fourteen_digits():
    assert read("(8003)09506000134352AB7").serial == "AB7"
    assert codes(read("(8003)09506000134353AB7")) == ["check_digit_wrong"]


def test_elements_of_the_wrong_length_are_not_taken():
    assert codes(read("(01)0950")) == ["wrong_length"]
    assert codes(read("(21)" + "9" * 21)) == ["wrong_length"]


def test_the_code_of_a_supplier_is_not_that_of_a_maker():
    mark = read(f"[)>\x1e12{GS}SPL 0F3N5{GS}UCN 10936\x1e\x04")

    assert (mark.maker_code, mark.supplier_code) == (None, "0F3N5")


@pytest.mark.parametrize(
    "text",
    [
        "",
        "  ",
        "[)>",
        "[)>\x1e",
        "[)>06",
        "[)>\x1e99\x1dX",
        "()",
        "(01)",
        "(21)",
        "]d2",
        "]d2\x1d",
        "\x1d",
        "[)>\x1e06\x1d\x1d\x1e\x04",
        "P/N",
        "\x00",
        "[)>\x1e05\x1d\x1e\x04",
        "(17)999999",
        "﷽",
    ],
)
def test_odd_texts_are_read_as_saying_nothing(text):
    mark = read(text)

    assert (mark.part_number, mark.serial, mark.maker_code, mark.expires) == (None,) * 4


def test_a_year_beyond_the_calendar_is_no_date():
    assert read_mark("(17)000101", year=9999).expires is None
    assert read_mark("(17)990101", year=1).expires is None


PIECES = st.sampled_from(
    [
        "[)>",
        "\x1e",
        "\x1d",
        "\x04",
        "06",
        "12",
        "05",
        "17V",
        "1P",
        "S",
        "MFR ",
        "SER ",
        "(01)",
        "(17)",
        "(8003)",
        "]d2",
        "0950600013435",
        "240200",
        " ",
        "P/N",
        "^]",
        "<GS>",
        "٣",
        "²",
        "18S",
        "16D",
    ]
)


@given(st.one_of(st.text(), st.lists(PIECES, max_size=12).map("".join)), st.integers(1, 9999))
def test_whatever_is_scanned_nothing_raises_and_each_doubt_is_a_sentence(text, year):
    mark = read_mark(text, year=year)

    assert mark.text == text
    assert all(one.code.islower() and one.message.endswith(".") for one in mark.doubts)


PLAIN = st.text(st.characters(min_codepoint=33, max_codepoint=126), min_size=1, max_size=25)
DAYS = st.none() | st.dates(date(1000, 1, 1))
CODES = st.text("ABCDEFGHJKLMNPQRSTUVWXYZ0123456789", min_size=5, max_size=5)


@given(maker=CODES, part=PLAIN, serial=PLAIN, lot=st.none() | PLAIN, made=DAYS, ends=DAYS)
def test_what_a_label_carries_comes_back_exactly(maker, part, serial, lot, made, ends):
    try:
        text = write_label(
            maker_code=maker,
            part_number=part,
            serial=serial,
            lot=lot,
            manufactured_on=made,
            expires_on=ends,
        )
    except ValueError:
        return

    mark = read(text)

    assert (mark.maker_code, mark.part_number, mark.serial, mark.lot) == (maker, part, serial, lot)
    assert mark.manufactured == (made and Dated(made))
    assert mark.expires == (ends and Dated(ends))
    assert mark.doubts == ()


@pytest.mark.parametrize(
    ("maker", "serial"),
    [
        ("0QVA", "7"),
        ("0qva5", "7"),
        ("0QVA5", ""),
        ("0QVA5", " 7"),
        ("0QVA5", "7\x1d8"),
        ("0QVA5", "7^]8"),
        ("0QVA5", "7<GS>8"),
        ("0QVA5", "Ä7"),
    ],
)
def test_what_a_label_cannot_carry_is_refused(maker, serial):
    with pytest.raises(ValueError, match="label"):
        write_label(maker_code=maker, part_number="42-01", serial=serial)


@given(st.text("OI1S5B80-A", max_size=8), st.lists(st.text("OI1S5B80-A", max_size=8)))
def test_near_matches_are_others_of_the_same_look(serial, known):
    found = near_matches(serial, known)

    assert serial not in found
    assert all(one in known and shape_of(one) == shape_of(serial) for one in found)


@pytest.mark.parametrize(
    "text",
    [
        "MFR QCCF/PNR CCF-A12/SER E1084",
        "MFR QCCF PNR CCF-A12 SER E1084",
        "mfr QCCF / pnr CCF-A12 / ser E1084",
        "MFR QCCF, PNR CCF-A12, SER E1084",
    ],
)
def test_elements_printed_in_a_line_are_read_with_slashes_or_blanks(text):
    mark = read(text)

    assert (mark.maker_code, mark.part_number, mark.serial) == ("QCCF", "CCF-A12", "E1084")
    assert codes(mark) == []


def test_a_slash_within_a_value_stays_there():
    mark = read("MFR QCCF/PNR 42/01-A/SER E/1084")

    assert (mark.part_number, mark.serial) == ("42/01-A", "E/1084")


def test_an_asset_number_is_read_and_says_what_it_does_not_name():
    mark = read("]C180049506000134352")

    assert (mark.asset, mark.serial, mark.part_number) == ("9506000134352", None, None)
    assert codes(mark) == ["asset_only"]
    both = read("(8004)950600AX7(21)E1084")
    assert (both.asset, both.serial, codes(both)) == ("950600AX7", "E1084", [])


def test_a_wrong_check_digit_makes_the_whole_code_misread():
    assert read("(01)09506000134353(21)E1084").is_misread
    assert not read("(01)09506000134352(21)E1084").is_misread
