"""Marks on parts (published-facts section 7.2: ISO/IEC 15434, MH10.8.2, text element identifiers,
GS1; what is from memory there, the tests of it say)."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest
import zxingcpp

from equipment.codes.dates import full_year
from equipment.codes.gs1 import has_check_digit
from equipment.codes.label import write_label
from equipment.codes.mark import Dated
from equipment.codes.near import near_matches
from equipment.codes.read import read_mark
from equipment.stores.reads import scans
from tests import builders as build

RS, GS, EOT = "\x1e", "\x1d", "\x04"
FORMAT_06 = f"[)>{RS}06{GS}17V98897{GS}1P4L0014-163B{GS}SSA10197{RS}{EOT}"


def format_12(*elements, header="12"):
    return f"[)>{RS}{header}{GS}{GS.join(elements)}{RS}{EOT}"


def read(text, year=2026):
    return read_mark(text, year=year)


def test_dm_01_one_identifier_comes_off_and_the_serial_keeps_its_own_s():
    mark = read(FORMAT_06)

    assert (mark.sort, mark.maker_code, mark.part_number, mark.serial) == (
        "format_06",
        "98897",
        "4L0014-163B",
        "SA10197",
    )
    assert mark.unique_by == "maker_serial"
    assert mark.doubts == ()


def test_the_printed_example_has_its_forty_bytes():
    assert FORMAT_06.encode().hex() == (
        "5b293e1e30361d31375639383839371d3150344c303031342d313633421d53534131303139371e04"
    )


def test_text_elements_are_three_letters_a_space_and_the_value():
    text = format_12("MFR 0CVA5", "SER 674A36458")
    mark = read(text)

    assert len(text) == 32
    assert (mark.sort, mark.maker_code, mark.serial) == ("format_12", "0CVA5", "674A36458")
    assert mark.doubts == ()


def test_the_older_header_is_read_like_the_present_one():
    mark = read(format_12("MFR 0CVA5", "SER 674A36458", header="DD"))

    assert (mark.sort, mark.serial, mark.doubts) == ("format_12", "674A36458", ())


@pytest.mark.django_db
def test_dm_03_the_unit_is_known_by_its_original_part_number_and_shown_by_its_present_one():
    # Through the clerk's scan: found by PNO, receiving begins with it; the plate's part is PNR.
    unit = build.a_unit(build.a_part("4202435-01"), serial_number="17")
    code = format_12("MFR 0CVA5", "PNO 4202435-01", "SEQ 17", "PNR 4202435-02")

    read = scans.read(code, build.day("2027-06-01"))

    assert read.unit == unit
    assert read.part_number == "4202435-01"
    facts = dict(read.facts)
    assert (facts["Part number"], facts["Original part number"]) == ("4202435-02", "4202435-01")


@pytest.mark.django_db
def test_a_part_that_kept_its_number_is_told_by_one_number():
    read = scans.read(format_12("MFR 0CVA5", "PNO 42-01", "SEQ 17"), build.day("2027-06-01"))

    facts = dict(read.facts)
    assert facts["Part number"] == "42-01"
    assert "Original part number" not in facts


# Uniqueness constructs: from memory in published-facts.
@pytest.mark.parametrize(
    ("elements", "unique_by", "serial", "maker", "supplier"),
    [
        (["MFR 0CVA5", "SER 674A"], "maker_serial", "674A", "0CVA5", None),
        (["MFR 0CVA5", "PNO 42-01", "SEQ 17"], "maker_part_serial", "17", "0CVA5", None),
        (["MFR 0CVA5", "SEQ 17"], "", "17", "0CVA5", None),
        (["SPL 0F3N5", "UCN 10936"], "supplier_serial", "10936", None, "0F3N5"),
        (["SER 674A"], "", "674A", None, None),
        (["UCN 10936"], "", "10936", None, None),
    ],
)
def test_a_serial_is_unique_only_beside_what_makes_it_so(
    elements, unique_by, serial, maker, supplier
):
    mark = read(format_12(*elements))

    assert (mark.unique_by, mark.serial) == (unique_by, serial)
    assert (mark.maker_code, mark.supplier_code) == (maker, supplier)


# GS1 application identifiers: from memory in published-facts, as are day 00 and the century.
@pytest.mark.parametrize(
    ("digits", "expected"),
    [
        ("240200", Dated(date(2024, 2, 29), is_month=True)),
        ("230200", Dated(date(2023, 2, 28), is_month=True)),
        ("241200", Dated(date(2024, 12, 31), is_month=True)),
        ("240229", Dated(date(2024, 2, 29))),
        ("761231", Dated(date(2076, 12, 31))),
        ("770101", Dated(date(1977, 1, 1))),
    ],
)
def test_dm_05_day_nought_is_the_last_of_the_month_and_the_century_is_the_near_one(
    digits, expected
):
    assert read(f"(17){digits}").expires == expected
    assert read(f"(11){digits}").manufactured == expected


@pytest.mark.parametrize(
    ("two", "year", "full"),
    [
        (26, 2026, 2026),
        (76, 2026, 2076),
        (77, 2026, 1977),
        (0, 2026, 2000),
        (99, 2026, 1999),
        (0, 2051, 2100),
        (1, 2051, 2101),
        (2, 2051, 2002),
        (49, 1999, 2049),
        (50, 1999, 1950),
    ],
)
def test_two_digits_mean_a_year_from_49_back_to_50_on(two, year, full):
    assert full_year(two, year) == full
    assert -49 <= full - year <= 50


def test_elements_of_fixed_length_follow_each_other_without_a_separator():
    mark = read(f"]d20109506000134352172402001012{GS}21X9")

    assert [(one.identifier, one.value) for one in mark.elements] == [
        ("01", "09506000134352"),
        ("17", "240200"),
        ("10", "12"),
        ("21", "X9"),
    ]
    assert (mark.lot, mark.serial, mark.doubts) == ("12", "X9", ())


@pytest.mark.parametrize(
    "text",
    [
        "(01)09506000134352(17)240200(21)AB1",
        f"]d2010950600013435217240200{GS}21AB1",
        f"{GS}010950600013435217240200{GS}21AB1",
        f"[)>{RS}05{GS}010950600013435217240200{GS}21AB1{RS}{EOT}",
    ],
)
def test_gs1_says_the_same_in_brackets_as_sent_and_in_an_envelope(text):
    mark = read(text)

    assert (mark.serial, mark.expires) == ("AB1", Dated(date(2024, 2, 29), is_month=True))
    assert mark.doubts == ()


@pytest.mark.parametrize("last", range(10))
def test_the_check_digit_of_a_trade_item_number(last):
    number = f"0950600013435{last}"

    assert has_check_digit(number) == (last == 2)
    assert [one.code for one in read(f"(01){number}").doubts] == (
        [] if last == 2 else ["check_digit_wrong"]
    )


def test_dm_07_what_looks_alike_is_asked_about_and_never_made_one():
    known = ["1O5B-2", "105B2", "I0SB2", "105B3", "105-82", "l05b2"]

    assert near_matches("105B2", known) == ["105-82", "1O5B-2", "I0SB2"]
    assert near_matches("105B3", ["105B3"]) == []


@pytest.mark.parametrize(("one", "other"), ["O0", "I1", "S5", "B8"])
def test_dm_07_each_pair_of_signs_that_look_alike_is_known(one, other):
    assert near_matches(f"7{one}7", [f"7{other}7"]) == [f"7{other}7"]
    assert near_matches(f"7{other}7", [f"7{one}7"]) == [f"7{one}7"]


def drawn_and_read(text):
    drawn = zxingcpp.create_barcode(text.encode(), zxingcpp.DataMatrix)
    picture = np.array(zxingcpp.write_barcode_to_image(drawn, scale=4))
    (found,) = zxingcpp.read_barcodes(picture)
    return found


def test_a_label_drawn_as_data_matrix_and_scanned_gives_its_facts_back():
    text = write_label(
        maker_code="0QVA5",
        part_number="4202435-01",
        serial="S674A",
        lot="L7",
        manufactured_on=date(2024, 2, 29),
        expires_on=date(2034, 2, 28),
    )

    found = drawn_and_read(text)
    mark = read(found.bytes.decode())

    assert found.content_type == zxingcpp.ContentType.ISO15434
    assert (mark.maker_code, mark.part_number, mark.serial, mark.lot) == (
        "0QVA5",
        "4202435-01",
        "S674A",
        "L7",
    )
    assert (mark.manufactured, mark.expires) == (
        Dated(date(2024, 2, 29)),
        Dated(date(2034, 2, 28)),
    )


def test_what_a_reader_shows_for_separators_says_the_same_as_they_do():
    shown = drawn_and_read(FORMAT_06).text

    assert shown != FORMAT_06
    assert read(shown).elements == read(FORMAT_06).elements
