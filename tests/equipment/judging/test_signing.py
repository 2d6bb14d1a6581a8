from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from equipment.judging.release.signing import (
    Change,
    authorisation_for,
    warn_same_mistake,
    why_not_authorised,
    why_not_inspect,
    why_not_release,
)
from tests.equipment.judging.builders import (
    INSPECTOR,
    RULES,
    SIGNED_AT,
    TECHNICIAN,
    an_authorisation,
    codes,
)

ON = date(2026, 3, 10)
LEFT = Change(TECHNICIAN, "slide", "door 1 left", "check A")


@pytest.mark.parametrize(
    ("held", "expected"),
    [
        ([], ["not_authorised"]),
        ([an_authorisation("S", {"sign_step"})], ["not_authorised"]),
        ([an_authorisation("R", {"release"})], []),
        ([an_authorisation("R", {"release"}, types={"Q100"})], []),
        ([an_authorisation("R", {"release"}, types={"Q200"})], ["not_listed"]),
        (
            [an_authorisation("R", {"release"}, until_on=date(2026, 3, 9))],
            ["authorisation_expired"],
        ),
        ([an_authorisation("R", {"release"}, until_on=date(2026, 3, 10))], []),
        ([an_authorisation("R", {"release"}, until_on=None)], []),
    ],
)
def test_a_release_needs_an_authorisation_for_the_type_on_the_day(held, expected):
    found = why_not_release(TECHNICIAN, held, ON, aircraft_type="Q100", kind="slide")

    assert codes(found) == expected
    assert all(TECHNICIAN.name in problem.sentence for problem in found)


def test_the_authorisation_to_copy_is_the_one_good_longest():
    short = an_authorisation("A-1", {"release"}, until_on=date(2026, 4, 1))
    long = an_authorisation("A-2", {"release"})
    other = an_authorisation("A-3", {"release"}, types={"Q200"})

    assert authorisation_for("release", "Q100", "slide", [short, long, other], ON) == long
    assert authorisation_for("inspect", "Q100", "slide", [short, long, other], ON) is None


def test_several_authorisations_may_not_be_pieced_together():
    for_type = an_authorisation("A-1", {"inspect"}, types={"Q100"}, kinds={"bottle"})
    for_kind = an_authorisation("A-2", {"inspect"}, types={"Q200"}, kinds={"slide"})

    found = why_not_authorised(
        "inspect", INSPECTOR, [for_type, for_kind], ON, aircraft_type="Q100", kind="slide"
    )

    assert codes(found) == ["not_listed"]


def test_a_helper_on_the_work_may_not_inspect_it_either():
    listed = an_authorisation("I-9", {"inspect"})

    found = why_not_inspect(
        [TECHNICIAN, INSPECTOR], INSPECTOR, RULES, [listed], ON, work_signed_at=SIGNED_AT
    )

    assert codes(found) == ["inspects_own_work"]


def test_who_counts_as_an_inspector_is_the_rule_sets():
    rules = replace(RULES, inspector_acts=frozenset({"inspect", "release"}))
    releaser = an_authorisation("R-1", {"release"})

    found = [
        codes(
            why_not_inspect([TECHNICIAN], INSPECTOR, each, [releaser], ON, work_signed_at=SIGNED_AT)
        )
        for each in (RULES, rules)
    ]

    assert found == [["not_authorised"], []]


def test_one_person_at_two_doors_in_one_visit_is_warned():
    right = replace(LEFT, position="door 1 right")

    warning = warn_same_mistake(RULES, right, [LEFT])

    assert "door 1 left" in warning
    assert warn_same_mistake(replace(RULES, same_mistake_warning=False), right, [LEFT]) is None


@pytest.mark.parametrize(
    "other",
    [
        {"person": INSPECTOR},
        {"kind": "bottle"},
        {"visit": "check B"},
        {"position": "door 1 right"},
    ],
)
def test_another_person_kind_or_visit_or_the_same_door_is_no_warning(other):
    right = replace(LEFT, position="door 1 right")

    assert warn_same_mistake(RULES, right, [replace(LEFT, **other)]) is None
