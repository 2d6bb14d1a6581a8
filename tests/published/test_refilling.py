"""Filling a bottle and leaving it in service: 49 CFR 180.205(c), (i) (published-facts section 1)."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from equipment.judging.fillings import (
    FILLINGS_3HT,
    BottleFacts,
    must_count_fillings,
    why_not_fill,
    why_not_stay,
)
from tests.equipment.judging.builders import codes

DUE = BottleFacts("nitrogen", requalify_by=date(2026, 9, 30), filled_on=date(2026, 9, 12))
THREE_HT = BottleFacts(
    "oxygen",
    requalify_by=date(2028, 6, 30),
    life_ends_on=date(2026, 7, 31),
    fillings=900,
    most_fillings=FILLINGS_3HT,
)


@pytest.mark.parametrize(
    ("on", "fill", "stay"),
    [
        (date(2026, 9, 30), [], []),
        (date(2026, 10, 1), ["requalification_due"], []),
        (date(2026, 10, 5), ["requalification_due"], []),
    ],
)
def test_filled_before_due_it_may_remain_but_not_be_refilled(on, fill, stay):
    # HY-15, 180.205(c): "a cylinder filled before the requalification becomes due may remain in
    # service until it is emptied".
    assert codes(why_not_fill(DUE, on)) == fill
    assert codes(why_not_stay(DUE, on)) == stay


def test_once_emptied_it_no_longer_remains():
    emptied = replace(DUE, is_empty=True)

    assert codes(why_not_stay(emptied, date(2026, 9, 30))) == []
    assert codes(why_not_stay(emptied, date(2026, 10, 5))) == ["emptied_past_due"]


def test_filled_after_it_was_due_it_may_not_remain():
    wrongly = replace(DUE, filled_on=date(2026, 10, 2))

    assert codes(why_not_stay(wrongly, date(2026, 10, 5))) == ["filled_past_due"]
    assert codes(why_not_stay(replace(DUE, filled_on=None), date(2026, 10, 5))) == [
        "filling_unknown"
    ]


def test_whether_a_month_is_good_to_its_end_is_the_programmes_to_say():
    # 180.205(c): "at any time during or before the month and year that the requalification is due";
    # section 13 policy 1: a stricter programme takes the first. The act asks the limit's own last day.
    strict = replace(DUE, requalify_by=date(2026, 9, 1))

    assert why_not_fill(strict, date(2026, 9, 1)) == []
    assert codes(why_not_fill(strict, date(2026, 9, 30))) == ["requalification_due"]
    assert "1 Sep 2026" in why_not_fill(strict, date(2026, 9, 30))[0].sentence
    assert "by Sep 2026:" in why_not_fill(DUE, date(2026, 10, 1))[0].sentence


@pytest.mark.parametrize(("on", "expected"), [("2026-07-31", []), ("2026-08-01", ["life_ended"])])
def test_after_its_service_life_it_is_never_filled_however_late_its_test(on, expected):
    # HY-03, 180.205(c): "may not be refilled and offered for transportation after its authorized
    # service life has expired".
    assert codes(why_not_fill(THREE_HT, date.fromisoformat(on))) == expected


@pytest.mark.parametrize(
    ("so_far", "expected"),
    [(4378, []), (4379, []), (4380, ["fillings_used_up"]), (None, ["fillings_unknown"])],
)
def test_the_4380th_filling_is_allowed_and_the_4381st_is_not(so_far, expected):
    # 180.205(i)(1)(v)(C): "after 4380 pressurizations"; section 13 policy 2.
    bottle = replace(THREE_HT, fillings=so_far)

    assert codes(why_not_fill(bottle, date(2026, 1, 15))) == expected


@pytest.mark.parametrize(
    ("fillings", "days", "must"),
    [(365, 365, True), (52, 365, False), (183, 365, True), (182, 364, False)],
)
def test_filled_more_than_once_every_other_day_it_is_counted(fillings, days, must):
    # HY-05: "If a cylinder is refilled, on average, more than once every other day".
    assert must_count_fillings(fillings, days) is must


def test_an_empty_oxygen_bottle_is_not_recharged():
    # AC 43.13-1B p. 9-42: "If the cylinder is completely empty, do not charge."
    empty = replace(THREE_HT, is_empty=True)

    assert codes(why_not_fill(empty, date(2026, 1, 15))) == ["empty_oxygen"]
    assert why_not_fill(replace(DUE, is_empty=True), date(2026, 1, 15)) == []


def test_a_bottle_of_which_the_test_is_not_required_has_no_month():
    # 180.209(a) Table 1: 3E, "test not required".
    bulb = BottleFacts("carbon_dioxide", is_test_required=False)

    assert why_not_fill(bulb, date(2026, 1, 15)) == []
    assert codes(why_not_fill(replace(bulb, is_test_required=True), date(2026, 1, 15))) == [
        "requalification_unknown"
    ]
