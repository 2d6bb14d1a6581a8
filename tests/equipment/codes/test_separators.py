from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from equipment.codes.read import read_mark

SHOWN = {
    "caret": ("^^", "^]", "^D"),
    "pictures": ("␞", "␝", "␄"),
    "angles": ("<RS>", "<GS>", "<EOT>"),
    "small angles": ("<rs>", "<gs>", "<eot>"),
    "braces": ("{RS}", "{GS}", "{EOT}"),
    "squares": ("[RS]", "[GS]", "[EOT]"),
    "escapes": ("\\x1e", "\\x1D", "\\x04"),
    "true ones": ("\x1e", "\x1d", "\x04"),
    "no end": ("\x1e", "\x1d", ""),
}


def read(text):
    return read_mark(text, year=2026)


def codes(mark):
    return [one.code for one in mark.doubts]


@pytest.mark.parametrize("how", SHOWN)
def test_separators_shown_in_any_way_are_separators(how):
    rs, gs, eot = SHOWN[how]

    mark = read(f"[)>{rs}06{gs}17V98897{gs}1P4L0014-163B{gs}SSA10197{rs}{eot}\r\n")

    assert (mark.maker_code, mark.part_number, mark.serial) == ("98897", "4L0014-163B", "SA10197")
    assert codes(mark) == []


@pytest.mark.parametrize("sign", "|~#;,* ")
def test_a_sign_put_for_separators_is_understood_and_said(sign):
    mark = read(f"[)>{sign}06{sign}17V98897{sign}1P4L0014-163B{sign}SSA10197{sign}{sign}")

    assert (mark.maker_code, mark.part_number, mark.serial) == ("98897", "4L0014-163B", "SA10197")
    assert codes(mark) == ["separators_replaced"]


@pytest.mark.parametrize("sign", "|~ ")
def test_text_elements_are_told_apart_with_another_sign_too(sign):
    mark = read(f"[)>{sign}12{sign}MFR 0CVA5{sign}PNO 42-01{sign}SEQ 17{sign}")

    assert (mark.maker_code, mark.original_part_number, mark.serial) == ("0CVA5", "42-01", "17")
    assert codes(mark) == ["separators_replaced"]


def test_what_a_replaced_separator_cuts_off_but_nobody_knows_is_not_guessed():
    mark = read("[)>|06|17V98897|1P4L0014|163B|SSA10197|")

    assert codes(mark) == ["separators_replaced", "split_not_certain"]
    assert (mark.maker_code, mark.part_number, mark.serial) == ("98897", None, "SA10197")
    assert "1P 4L0014" in mark.doubts[1].message


def test_without_separators_only_what_has_its_length_is_cut_off():
    mark = read("[)>0617V988971P4L0014-163BSSA10197")

    assert mark.maker_code == "98897"
    assert (mark.part_number, mark.serial) == (None, None)
    assert codes(mark) == ["separators_lost", "split_not_certain"]
    assert "send its group separators" in mark.doubts[1].message


def test_without_separators_a_last_fact_that_can_hold_no_other_is_taken():
    mark = read("[)>0617V98897S12345")

    assert (mark.maker_code, mark.serial) == ("98897", "12345")
    assert codes(mark) == ["separators_lost"]


def test_glued_text_elements_are_told_apart_by_their_spaces_and_said():
    mark = read("[)>12MFR 0CVA5SER 674A36458")
    partly = read("[)>\x1e12\x1dMFR 0CVA5SER 674A36458\x1e\x04")

    assert (mark.maker_code, mark.serial) == (partly.maker_code, partly.serial)
    assert (mark.maker_code, mark.serial) == ("0CVA5", "674A36458")
    assert codes(mark) == codes(partly) == ["separators_lost"]


def test_a_message_that_stops_short_is_said():
    assert codes(read("[)>\x1e06\x1d17V98897\x1dSSA101")) == ["end_missing"]


def test_two_records_in_one_envelope_are_both_read():
    mark = read("[)>\x1e06\x1d17V98897\x1e12\x1dSER 12\x1e\x04")

    assert (mark.maker_code, mark.serial) == ("98897", "12")


def test_gs1_that_lost_its_separators_is_not_split_by_guess():
    mark = read("]d201095060001343521012A21X")

    assert (mark.lot, mark.serial) == (None, None)
    assert codes(mark) == ["split_not_certain"]


VALUE = st.text("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-/.", min_size=1, max_size=20)


@given(part=VALUE, serial=VALUE, how=st.sampled_from(sorted(SHOWN)))
def test_whatever_the_values_they_come_back_through_every_way_of_showing(part, serial, how):
    rs, gs, eot = SHOWN[how]

    mark = read(f"[)>{rs}06{gs}17V98897{gs}1P{part}{gs}S{serial}{rs}{eot}")

    assert (mark.part_number, mark.serial) == (part, serial)


@given(part=VALUE, serial=VALUE)
def test_without_separators_a_value_is_right_or_not_given(part, serial):
    mark = read(f"[)>0617V988971P{part}S{serial}")

    assert mark.serial in {None, serial}
    assert mark.part_number is None


@given(lot=VALUE, serial=VALUE)
def test_gs1_without_separators_never_gives_a_serial_with_a_lot_glued_on(lot, serial):
    mark = read(f"]d210{lot}21{serial}")

    assert mark.lot is None
    assert mark.serial is None
