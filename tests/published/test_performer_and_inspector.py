"""Who may sign and who may inspect: 14 CFR 121.371, AMC 145.A.48 (published-facts section 6)."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from equipment.judging.release.obstacles import Mark, SwapState, stands_in_the_way
from equipment.judging.release.signing import (
    StepToSign,
    why_not_inspect,
    why_not_reinspect,
    why_not_sign,
)
from tests.equipment.judging.builders import (
    INSPECTOR,
    RULES,
    TECHNICIAN,
    an_authorisation,
    codes,
    done_step,
    nothing_moved,
)

ON = date(2026, 3, 10)
NINE, TEN, ELEVEN = (datetime(2026, 3, 10, hour, tzinfo=UTC) for hour in (9, 10, 11))
LISTED = an_authorisation("I-9", {"inspect"}, types={"Q100"}, kinds={"slide"})


def inspection_by(inspector, authorisations=(LISTED,), on=ON, **facts):
    given = {"aircraft_type": "Q100", "kind": "slide", "work_signed_at": NINE, "at": TEN} | facts
    return codes(why_not_inspect([TECHNICIAN], inspector, RULES, authorisations, on, **given))


def test_no_person_inspects_the_work_that_person_did():
    # RK-01, 121.371(c): "No person may perform a required inspection if he performed the item of
    # work required to be inspected." A licence to inspect does not help.
    assert inspection_by(TECHNICIAN) == ["inspects_own_work"]
    assert inspection_by(INSPECTOR) == []


@pytest.mark.parametrize(
    ("authorisations", "code"),
    [
        ((), "not_authorised"),
        ((an_authorisation("T-1", {"sign_step", "release"}),), "not_authorised"),
        ((an_authorisation("I-1", {"inspect"}, kinds={"bottle"}),), "not_listed"),
        ((an_authorisation("I-2", {"inspect"}, types={"Q200"}),), "not_listed"),
    ],
)
def test_an_inspector_is_listed_for_that_inspection(authorisations, code):
    # RK-03, 121.371(d): a current list by name, title and inspections.
    assert inspection_by(INSPECTOR, authorisations) == [code]


@pytest.mark.parametrize(
    ("on", "expected"),
    [
        (date(2024, 12, 31), ["authorisation_not_yet"]),
        (date(2025, 1, 1), []),
        (date(2026, 12, 31), []),
        (date(2027, 1, 1), ["authorisation_expired"]),
    ],
)
def test_the_list_is_that_of_the_day(on, expected):
    assert inspection_by(INSPECTOR, on=on) == expected


@pytest.mark.parametrize(
    ("entered", "signed", "expected"),
    [
        (NINE, TEN, []),
        (NINE, NINE, []),
        (TEN, NINE, ["signed_before_done"]),
        (None, NINE, ["step_not_done"]),
    ],
)
def test_a_step_is_signed_off_only_after_completion(entered, signed, expected):
    # RK-05, R32, AMC 145.A.48(c): "every maintenance task is signed off only after completion".
    step = StepToSign(4, "Torque the hose nut", "Q100", "slide", entered)
    licence = an_authorisation("T-1", {"sign_step"})

    assert codes(why_not_sign(step, TECHNICIAN, [licence], ON, signed)) == expected


@pytest.mark.parametrize(
    ("work_signed_at", "expected"),
    [(NINE, []), (ELEVEN, ["inspected_before_sign_off"]), (None, ["work_not_signed"])],
)
def test_the_inspection_follows_the_sign_off_of_the_work(work_signed_at, expected):
    # R31, R33: both identities stand on the card, the work first.
    assert inspection_by(INSPECTOR, work_signed_at=work_signed_at) == expected


def test_reinspection_by_the_same_person_only_where_the_rules_have_it():
    # R30, AMC4 145.A.48(b)(d); the rule set of 14 CFR part 121 has none.
    reason = "Second inspector taken ill during the shift"

    assert codes(why_not_reinspect(RULES, reason)) == ["no_reinspection"]
    assert codes(why_not_reinspect(replace(RULES, may_reinspect=True), reason)) == []


def test_a_shift_without_an_inspector_is_not_unforeseen():
    # R30: "cannot be considered unforeseen if … not assigned a suitable 'independent qualified
    # person' to that … shift"; and the circumstances are named.
    rules = replace(RULES, may_reinspect=True)
    why = "Second inspector taken ill during the shift"

    assert codes(why_not_reinspect(rules, "  ")) == ["reason_needed"]
    assert codes(why_not_reinspect(rules, why, was_inspector_assigned=False)) == ["not_unforeseen"]


@pytest.mark.parametrize(
    "changed", [{"entered_at": ELEVEN}, {"signed": Mark(TECHNICIAN, TEN, is_current=False)}]
)
def test_the_signature_of_an_old_value_is_invalid_for_the_new_one(changed):
    # RK-13.
    step = replace(done_step(4, entered_at=NINE, signed=Mark(TECHNICIAN, TEN)), **changed)

    assert codes(stands_in_the_way(SwapState(ON, (step,), nothing_moved()))) == [
        "signed_value_changed"
    ]
