from __future__ import annotations

from decimal import Decimal as D

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from equipment.judging.measuring.quantities import read_quantity
from equipment.judging.measuring.quantity import Quantity
from equipment.judging.measuring.units import UNITS, converted, sort_of
from equipment.judging.verdicts import Problem

EVERY_UNIT = [unit for units in UNITS.values() for unit in units]


@pytest.mark.parametrize(
    ("text", "expected", "value", "in_unit"),
    [
        ("25 Nm", "N·m", "25", "N·m"),
        ("25 N·m", "N·m", "25", "N·m"),
        ("25NM", "N·m", "25", "N·m"),
        ("220 in-lb", "in-lb", "220", "in-lb"),
        ("220 IN LBS", "in-lb", "220", "in-lb"),
        ("18 lbf ft", "in-lb", "216", "ft-lb"),
        ("18 lbf·ft", "ft-lb", "18", "ft-lb"),
        ("100 kgf·cm", "N·m", "9.80665", "kgf·cm"),
        ("3 mΩ", "mΩ", "3", "mΩ"),
        ("3 milliohm", "Ω", "0.003", "mΩ"),
        ("0,003 ohm", "mΩ", "3", "Ω"),
        ("2500 µΩ", "mΩ", "2.5", "µΩ"),
        ("2871 psi", "psi", "2871", "psi"),
        ("2871 PSIG", "psi", "2871", "psi"),
        ("198 bar", "bar", "198", "bar"),
        ("20 MPa", "bar", "200", "MPa"),
        ("70 F", "°F", "70", "°F"),
        ("21 °C", "°F", "69.8", "°C"),
        ("-40 C", "°F", "-40", "°C"),
        ("−5 ºC", "°C", "-5", "°C"),
        ("32 degF", "°C", "0", "°F"),
        ("1,5 h", "min", "90", "h"),
        ("600 s", "min", "10", "s"),
        ('1.5"', "mm", "38.1", "in"),
        ("1.5''", "mm", "38.1", "in"),
        ("11 lb", "kg", "4.98951607", "lb"),
        ("2 pcs", "", "2", ""),
    ],
)
def test_a_unit_behind_the_number_is_understood(text, expected, value, in_unit):
    read = read_quantity(text, "", expected=expected)

    assert (read.value, read.unit, read.in_unit) == (D(value), expected, in_unit)
    assert read.as_typed == text


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("25", "25"),
        (" 25 ", "25"),
        ("2.500", "2.5"),
        ("0,003", "0.003"),
        ("12,5", "12.5"),
        (".5", "0.5"),
        ("+3", "3"),
        ("2 871", "2871"),
        ("2\u202f871", "2871"),
        ("2\u00a0871,5", "2871.5"),
        ("2'871", "2871"),
        ("1,234.5", "1234.5"),
        ("1.234,5", "1234.5"),
        ("1,234,567", "1234567"),
        ("0", "0"),
    ],
)
def test_a_number_is_read_as_people_write_it(text, value):
    assert read_quantity(text, "psi", expected="psi").value == D(value)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "missing"),
        ("   ", "missing"),
        ("abc", "not_a_number"),
        ("nan", "not_a_number"),
        ("inf", "not_a_number"),
        ("-inf", "not_a_number"),
        ("½", "not_a_number"),
        ("5²", "not_a_number"),
        ("٣", "not_a_number"),
        ("25,", "not_a_number"),
        ("1.2.3", "not_a_number"),
        ("1e999", "exponent"),
        ("1E3", "exponent"),
        ("-3", "negative"),
        ("9" * 30, "too_large"),
        ("0." + "1" * 30, "too_large"),
        ("1" * 200, "too_long"),
        ("25 26", "two_numbers"),
        ("25-30", "two_numbers"),
        ("25 / 30", "two_numbers"),
        ("25 psi 30", "two_numbers"),
        ("2  871", "two_numbers"),
        ("1 23", "two_numbers"),
        ("25'", "unit_unknown"),
        ("25 furlong", "unit_unknown"),
        ("25 mΩ", "unit_unknown"),
        ("3000 psia", "absolute_pressure"),
    ],
)
def test_what_is_unclear_is_refused_in_a_sentence(text, code):
    read = read_quantity(text, "psi", expected="psi")

    assert isinstance(read, Problem)
    assert read.code == code
    assert read.sentence.endswith(".")


@pytest.mark.parametrize("text", ["1,234", "2,871", "999,000", "01,234"])
def test_a_comma_before_three_figures_is_refused_with_both_readings(text):
    read = read_quantity(text, "psi", expected="psi")

    assert read.code == "ambiguous_separator"
    assert text.replace(",", ".") in read.sentence
    assert text.replace(",", "") in read.sentence


@pytest.mark.parametrize("text", ["3 MΩ", "3 MOhm", "3 MOHM", "3 M ohm", "3 Mω"])
def test_milli_and_mega_are_not_guessed_between(text):
    assert read_quantity(text, "", expected="mΩ").code == "unit_ambiguous"
    assert read_quantity("3", text.removeprefix("3 "), expected="mΩ").code == "unit_unknown"


def test_the_chosen_unit_counts_where_the_text_names_none():
    assert read_quantity("3", "Ω", expected="mΩ").value == 3000
    assert read_quantity("3 mΩ", "Ω", expected="mΩ").value == 3


@pytest.mark.parametrize(
    ("unit", "expected"), [("parsec", "psi"), ("psi", "parsec"), ("mΩ", "psi")]
)
def test_a_unit_that_does_not_measure_this_is_refused(unit, expected):
    assert read_quantity("3", unit, expected=expected).code == "unit_unknown"


@pytest.mark.parametrize(("text", "code"), [("2.5", "not_whole"), ("-1", "negative")])
def test_a_count_is_whole_and_not_below_nought(text, code):
    assert read_quantity(text, "", expected="").code == code


@pytest.mark.parametrize("text", ["-274 °C", "-460 F"])
def test_nothing_is_colder_than_absolute_nought(text):
    assert read_quantity(text, "", expected="°C").code == "too_cold"


@pytest.mark.parametrize(
    ("text", "unit", "minutes"),
    [
        ("9:59", "min", "9.98333"),
        ("10:00", "min", "10"),
        ("1:30", "h", "90"),
        ("1:00:30", "", "60.5"),
    ],
)
def test_times_are_read_as_a_stopwatch_shows_them(text, unit, minutes):
    assert round(read_quantity(text, unit, expected="min").value, 5) == D(minutes)


@pytest.mark.parametrize("text", ["9:99", "1:2:3:4", ":30", "9:", "a:b", "-1:30"])
def test_what_is_no_time_is_refused(text):
    assert read_quantity(text, "min", expected="min").code == "not_a_time"


@settings(max_examples=300, deadline=None)
@given(text=st.text(max_size=80), unit=st.sampled_from([*EVERY_UNIT, "", "?"]))
def test_reading_never_raises_and_never_gives_a_number_that_is_none(text, unit):
    read = read_quantity(text, unit, expected=unit)

    assert isinstance(read, Problem) or read.value.is_finite()


LIKELY = st.text(alphabet="0123456789.,'- \u202f:eE+/ΩmNpsi°CF²", max_size=14)


@settings(max_examples=400, deadline=None)
@given(text=LIKELY, unit=st.sampled_from(EVERY_UNIT))
def test_nearly_numbers_never_raise(text, unit):
    read = read_quantity(text, unit, expected=unit)

    if isinstance(read, Quantity):
        assert read.value.is_finite()
        assert any(mark in "0123456789" for mark in text)


@settings(max_examples=150, deadline=None)
@given(
    value=st.decimals(0, 100_000, places=3, allow_nan=False),
    pair=st.sampled_from([(a, b) for us in UNITS.values() for a in us for b in us]),
)
def test_a_value_comes_back_from_any_unit_as_it_was(value, pair):
    one, other = pair
    sort = sort_of(one)

    there = converted(value, one, other, sort)

    assert abs(converted(there, other, one, sort) - value) <= D("1e-8") * max(value, 1)


@settings(max_examples=100, deadline=None)
@given(value=st.decimals("0.001", 99_999, places=3, allow_nan=False))
def test_comma_and_point_are_one_unless_it_could_be_thousands(value):
    text = f"{value:f}"
    by_point, by_comma = (
        read_quantity(each, "psi", expected="psi") for each in (text, text.replace(".", ","))
    )

    assert by_point.value == value
    assert isinstance(by_comma, Problem) or by_comma.value == value
