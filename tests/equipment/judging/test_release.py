from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from equipment.judging.release.obstacles import (
    CountPair,
    Mark,
    Obstacle,
    OpenItemFact,
    SwapState,
    UnitOnFacts,
    stands_in_the_way,
)
from equipment.judging.verdicts import Problem
from tests.equipment.judging.builders import (
    DONE_AT,
    INSPECTED_AT,
    INSPECTOR,
    SIGNED_AT,
    TECHNICIAN,
    codes,
    done_step,
    nothing_moved,
    off_and_on,
)

ON = date(2026, 3, 10)
UNIT = UnitOnFacts("Slide S/N 4471")
HELD = Obstacle("unit_on_hold", "Slide S/N 4471 is held: a forged stamp.")
LATER = INSPECTED_AT + timedelta(minutes=5)
INSPECTED = done_step(4, is_inspected=True)
READY = SwapState(ON, (done_step(1), INSPECTED), off_and_on(), UNIT)


def with_step(step, **facts):
    return codes(stands_in_the_way(replace(READY, steps=(replace(step, **facts),))))


def test_nothing_stands_in_the_way_of_a_swap_that_is_done():
    assert stands_in_the_way(READY) == []


@pytest.mark.parametrize(
    ("facts", "expected"),
    [
        ({"verdict": None, "signed": None}, ["step_missing"]),
        ({"verdict": None, "signed": None, "is_needed": False}, []),
        ({"verdict": "out"}, ["step_out_of_tolerance"]),
        ({"verdict": "out", "is_needed": False}, ["step_out_of_tolerance"]),
        ({"verdict": "cannot_judge"}, ["step_not_judged"]),
        ({"verdict": "none"}, []),
        ({"signed": None}, ["step_not_signed"]),
        ({"entered_at": LATER}, ["signed_value_changed"]),
        ({"signed": Mark(TECHNICIAN, SIGNED_AT, is_current=False)}, ["signed_value_changed"]),
        ({"is_inspected": True}, ["inspection_missing"]),
    ],
)
def test_a_step_stands_in_the_way_for_its_reason(facts, expected):
    assert with_step(done_step(4), **facts) == expected


@pytest.mark.parametrize(
    ("mark", "expected"),
    [
        (Mark(INSPECTOR, INSPECTED_AT), []),
        (Mark(TECHNICIAN, INSPECTED_AT), ["inspected_by_performer"]),
        (Mark(INSPECTOR, DONE_AT), ["inspected_before_sign_off"]),
        (Mark(INSPECTOR, INSPECTED_AT, is_current=False), ["inspected_value_changed"]),
        (
            Mark(TECHNICIAN, INSPECTED_AT, is_reinspection=True, reason="Ill"),
            ["no_reinspection"],
        ),
    ],
)
def test_an_inspection_is_by_another_and_after_the_sign_off(mark, expected):
    assert with_step(INSPECTED, inspected=mark) == expected


@pytest.mark.parametrize(
    ("reason", "expected"), [("Ill", []), (" ", ["reinspection_without_reason"])]
)
def test_a_reinspection_counts_where_the_rules_have_it_and_it_has_a_reason(reason, expected):
    mark = Mark(TECHNICIAN, INSPECTED_AT, is_reinspection=True, reason=reason)
    state = replace(READY, steps=(replace(INSPECTED, inspected=mark),), rules_may_reinspect=True)

    assert codes(stands_in_the_way(state)) == expected


def test_whoever_took_part_may_not_have_inspected():
    assert with_step(INSPECTED, performers=(TECHNICIAN, INSPECTOR)) == ["inspected_by_performer"]


def test_a_value_entered_after_all_signatures_voids_both():
    assert with_step(INSPECTED, entered_at=LATER) == [
        "signed_value_changed",
        "inspected_value_changed",
    ]


@pytest.mark.parametrize(
    ("pair", "expected"),
    [
        (CountPair("safety pins", 2, 2), []),
        (CountPair("safety pins", 2, 1), ["safety_device_not_back"]),
        (CountPair("safety pins", 1, 2), ["safety_device_not_back"]),
        (CountPair("safety pins", 2, None), ["count_not_recorded"]),
        (CountPair("safety pins", None, 2), ["count_not_recorded"]),
    ],
)
def test_every_safety_device_is_back(pair, expected):
    assert with_step(done_step(9, sort="count"), counts=(pair,)) == expected


def test_a_pin_fitted_must_come_back_even_by_a_step_that_may_be_left_out():
    left_out = {"verdict": None, "signed": None, "is_needed": False}

    fitted = with_step(done_step(9), counts=(CountPair("pins", 2, None),), **left_out)
    none = with_step(done_step(9), counts=(CountPair("pins", None, None),), **left_out)

    assert (fitted, none) == (["count_not_recorded"], [])


@pytest.mark.parametrize(
    ("facts", "expected"),
    [
        ({"is_removal_recorded": False}, ["removal_not_recorded"]),
        ({"is_installation_recorded": False}, ["installation_not_recorded"]),
        ({"is_removal_conforming": False}, ["removal_not_conforming"]),
        (
            {"is_installation_conforming": False, "why_not_conforming": "another unit is there"},
            ["installation_not_conforming"],
        ),
        ({"nested_off_unaccounted": ("Light 12",)}, ["nested_unaccounted"]),
    ],
)
def test_the_ledger_must_hold_what_happened(facts, expected):
    assert codes(stands_in_the_way(replace(READY, ledger=off_and_on(**facts)))) == expected


@pytest.mark.parametrize(
    ("item", "expected"),
    [
        (None, ["position_left_open"]),
        (OpenItemFact("Open item 12", "MEL 25-60-1", date(2026, 3, 10)), []),
        (OpenItemFact("Open item 12", "MEL 25-60-1", date(2026, 3, 9)), ["open_item_expired"]),
        (OpenItemFact("Open item 12", "MEL 25-60-1", None), ["open_item_without_expiry"]),
        (OpenItemFact("Open item 12", "", date(2026, 4, 1)), ["open_item_without_document"]),
    ],
)
def test_a_position_left_open_has_a_document_and_a_last_day(item, expected):
    ledger = off_and_on(needs_installation=False, is_installation_recorded=False, left_open=item)

    assert codes(stands_in_the_way(replace(READY, ledger=ledger))) == expected


def test_left_open_no_step_of_fitting_is_missing_but_making_safe_is():
    item = OpenItemFact("Open item 12", "MEL 25-60-1", date(2026, 4, 1))
    ledger = off_and_on(is_installation_recorded=False, left_open=item)
    undone = {"verdict": None, "signed": None}
    phases = ("make_safe", "remove", "inspect", "install", "test", "restore")
    steps = tuple(done_step(n, phase=phase, **undone) for n, phase in enumerate(phases, 1))

    found = stands_in_the_way(
        replace(READY, steps=steps, ledger=ledger, unit_on=replace(UNIT, why_not_use=(HELD,)))
    )

    assert [(each.code, each.step_number) for each in found] == [
        ("step_missing", 1),
        ("step_missing", 2),
        ("step_missing", 6),
    ]


@pytest.mark.parametrize(
    ("facts", "expected"),
    [
        ({"fits": False, "why_not_fit": "not allowed at this door"}, ["part_does_not_fit"]),
        ({"why_not_use": (HELD, HELD)}, ["unit_on_hold", "unit_on_hold"]),
        ({"nested_unaccounted": ("Bottle 3",)}, ["nested_unaccounted"]),
    ],
)
def test_the_unit_that_goes_on_stands_in_the_way_for_its_reason(facts, expected):
    found = stands_in_the_way(replace(READY, unit_on=replace(UNIT, **facts)))

    assert codes(found) == expected
    assert all(UNIT.words in each.sentence for each in found)


def test_authorisations_and_what_upper_layers_add_come_last():
    state = replace(
        READY,
        steps=(done_step(1, verdict="out"),),
        authorisation_problems=(Problem("authorisation_expired", "It was good until 9 Mar 2026."),),
        other=(Obstacle("load_not_signed", "The work package is still open."),),
    )

    assert codes(stands_in_the_way(state)) == [
        "step_out_of_tolerance",
        "authorisation_expired",
        "load_not_signed",
    ]


def test_obstacles_follow_the_order_of_the_work_and_name_their_step():
    steps = tuple(done_step(n, verdict="out", sentence="Too low.") for n in (7, 2, 5))

    found = stands_in_the_way(SwapState(ON, steps, nothing_moved()))

    assert [each.step_number for each in found] == [2, 5, 7]
    assert found[0].sentence == "Step 2, “Torque the hose nut”, is off tolerance. Too low."
