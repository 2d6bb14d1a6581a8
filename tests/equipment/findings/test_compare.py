"""What was seen against what is recorded: every way in which they may differ, and those that agree."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from equipment.findings.walk.compare import OnRecord, Position, Seen, findings
from equipment.judging.measuring.pressure import Chart

TODAY = date(2027, 6, 1)
CHART = Chart(
    ((Decimal(0), Decimal(2400), Decimal(2600)), (Decimal(70), Decimal(2800), Decimal(3000))),
    "nitrogen",
    "QCMM 25-61",
    "1",
)
SLIDE = OnRecord(
    1, "HS-2 S/N 731", "731", ("HS-2", "HS-1"), expiries=(date(2028, 3, 31),), band=CHART
)
SPARE = OnRecord(2, "HS-2 S/N 912", "912", ("HS-2", "HS-2"))
DOOR = Position("Q-1 D1L", 1, (SLIDE,))
NOTHING = Position("Q-1 D1L", 1)
VESTS = tuple(OnRecord(n, f"V S/N {n}", str(n), ("V", "V")) for n in (11, 12, 13))
BIN = Position("Q-1 BIN", 4, VESTS, seen=frozenset({11, 12}))


def sorts(seen, position=DOOR, elsewhere=()):
    return [each.sort for each in findings(seen, position, elsewhere, TODAY)]


@pytest.mark.parametrize(
    "seen",
    [
        Seen("HS-2", "731"),
        Seen("", " 731 "),
        Seen("HS-1", "731"),  # the original number is still on the plate
        Seen("hs 2", "7-31"),
        Seen("HS-2"),
        Seen(gauge_read="in the band", pin_read="stowed"),
        Seen("HS-2", "731", expiry_read=date(2028, 3, 31)),
        Seen("HS-2", "731", gauge_read="2900 psi at 70 F"),
        Seen("HS-2", "731", gauge_read="2900 @ 21.1 °C"),
    ],
)
def test_what_agrees_is_no_finding(seen):
    assert sorts(seen) == []


def test_nothing_where_nothing_is_recorded_agrees():
    assert sorts(Seen(is_empty=True), NOTHING) == []


def test_nothing_where_a_unit_is_recorded():
    [found] = findings(Seen(is_empty=True), DOOR, (), TODAY)

    assert (found.sort, found.recorded_id, found.found_id) == ("no_unit", 1, None)


def test_another_unit_that_is_on_record():
    [found] = findings(Seen("HS-2", "912"), DOOR, (SPARE,), TODAY)

    assert (found.sort, found.recorded_id, found.found_id) == ("other_unit", 1, 2)
    assert found.words == "HS-2 S/N 912 is at Q-1 D1L, where HS-2 S/N 731 is recorded."


def test_a_unit_where_none_is_recorded():
    assert sorts(Seen("HS-2", "912"), NOTHING, (SPARE,)) == ["unrecorded_unit"]
    assert sorts(Seen(gauge_read="green"), NOTHING) == ["unrecorded_unit"]


def test_a_plate_that_nobody_knows():
    [found] = findings(Seen("HS-9", "555"), DOOR, (), TODAY)

    assert (found.sort, found.recorded_id) == ("unknown_unit", 1)
    assert "HS-9 S/N 555" in found.words


def test_a_plate_that_may_be_two_units_is_not_guessed():
    [found] = findings(Seen("", "912"), DOOR, (SPARE, VESTS[0]), TODAY)

    assert (found.sort, found.found_id) == ("unknown_unit", None)
    assert "more than one" in found.words


def test_another_part_number_without_a_serial_number():
    [found] = findings(Seen("HS-7"), DOOR, (), TODAY)

    assert (found.sort, found.recorded_id, found.found_id) == ("other_unit", 1, None)


@pytest.mark.parametrize(
    ("seen", "words"),
    [
        (Seen("HS-2", "731", expiry_read=date(2027, 5, 31)), "it expired on 31 May 2027"),
        (Seen("HS-2", "731", expiry_read=date(2028, 6, 30)), "the records say 31 Mar 2028"),
        (Seen("HS-2", "731", gauge_read="below"), "“below”"),
        (Seen("HS-2", "731", gauge_read="2700 psi at 70 °F"), "100 psi too low"),
        (Seen("HS-2", "731", gauge_read="2900 psi"), "the temperature is not recorded"),
        (Seen("HS-2", "731", gauge_read="2900 furlongs at 70 °F"), "cannot be judged"),
        (Seen("HS-2", "731", pin_read="left in"), "“left in”"),
        (Seen("HS-2", "731", pin_read="missing"), "“missing”"),
    ],
)
def test_a_condition_that_is_not_as_it_should_be(seen, words):
    [found] = findings(seen, DOOR, (), TODAY)

    assert (found.sort, found.recorded_id) == ("condition", 1)
    assert words in found.words


def test_today_is_still_good_and_an_expiry_without_a_known_limit_is_only_compared_with_today():
    assert sorts(Seen("HS-2", "912", expiry_read=TODAY), Position("Q-1 D1L", 1, (SPARE,))) == []


def test_another_unit_in_bad_condition_is_two_findings():
    seen = Seen("HS-2", "912", pin_read="left in", gauge_read="below")

    assert sorts(seen, DOOR, (SPARE,)) == ["other_unit", "condition", "condition"]


def test_of_several_units_each_is_known_and_the_rest_is_missed_when_nothing_more_is_there():
    assert sorts(Seen("V", "12"), BIN) == []
    assert sorts(Seen("V", "40"), BIN, (SPARE,)) == ["unrecorded_unit"]
    [missed] = findings(Seen(is_empty=True), BIN, (), TODAY)
    assert (missed.sort, missed.recorded_id) == ("no_unit", 13)


def test_one_more_than_a_full_bin_holds_stands_for_the_one_not_seen():
    full = Position("Q-1 BIN", 3, VESTS, seen=frozenset({11, 12}))

    [found] = findings(Seen("HS-2", "912"), full, (SPARE,), TODAY)

    assert (found.sort, found.recorded_id) == ("other_unit", 13)
