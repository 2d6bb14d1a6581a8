from __future__ import annotations

from decimal import Decimal as D

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from equipment.judging.declaring.rule_data import chart_of
from equipment.judging.measuring.torque import TorqueRule
from equipment.judging.steps.rules import SORTS, StepRule, rule_of
from tests.equipment.judging.builders import codes

CHART = {
    "points": [[32, 2600, 2800], ["70", "2900", 3100]],
    "gas": "nitrogen",
    "document": "Component manual",
}
GOOD = [
    ("confirm", {}),
    ("confirm", {"needs_tool": False}),
    ("count", {"what": "safety pins"}),
    ("count", {"what": "safety pins", "number": 2, "is_returned": True}),
    ("torque", {"low": 20, "high": 25, "unit": "in-lb"}),
    ("torque", {"low": "20", "high": "20", "unit": "lbf·in", "has_drag": True, "needs_tool": True}),
    ("resistance", {"limit": "2.5", "unit": "mΩ", "is_strict": True}),
    ("pressure", {}),
    ("pressure", {"unit": "bar"}),
    ("pressure", {"chart": CHART}),
    ("function", {}),
    ("function", {"unit": "V", "low": 5}),
    ("endurance", {"unit": "min", "at_least": 10}),
    ("endurance", {"unit": "s", "at_most": 6}),
    ("weight", {"unit": "kg", "at_least": "0.25"}),
    ("weight", {"unit": "kg", "loss_percent": 5, "full": "5.00"}),
    ("note", {}),
    ("photo", {}),
]
BAD = [
    ("dance", {}, "sort_unknown", "sort"),
    ("confirm", {"low": 1}, "name_unknown", "low"),
    ("count", {}, "missing", "what"),
    ("count", {"what": "pins", "number": 2.5}, "not_whole", "number"),
    ("torque", {"low": 20, "unit": "in-lb"}, "missing", "high"),
    ("torque", {"low": 30, "high": 20, "unit": "in-lb"}, "upside_down", "low"),
    ("torque", {"low": 20, "high": 25, "unit": "psi"}, "unit_unknown", "unit"),
    ("torque", {"low": 20, "high": 25}, "unit_unknown", "unit"),
    ("torque", {"low": "nan", "high": 25, "unit": "in-lb"}, "not_a_number", "low"),
    ("torque", {"low": -1, "high": 25, "unit": "in-lb"}, "not_a_number", "low"),
    ("torque", {"low": 1, "high": 2, "unit": "N·m", "has_drag": "no"}, "not_yes_or_no", "has_drag"),
    ("resistance", {"limit": 3, "unit": "mΩ"}, "not_yes_or_no", "is_strict"),
    ("resistance", {"limit": 3, "unit": "mΩ", "is_strit": True}, "name_unknown", "is_strit"),
    ("pressure", {"unit": "kg"}, "unit_unknown", "unit"),
    ("pressure", {"chart": {"points": [[1, 2]]}}, "not_a_chart", "chart"),
    ("pressure", {"chart": CHART | {"document": ""}}, "chart_without_document", "chart"),
    ("pressure", {"chart": CHART | {"gas": "steam"}}, "gas_unknown", "chart"),
    ("pressure", {"chart": CHART | {"points": [[1, 5, 4], [2, 5, 6]]}}, "chart_shape", "chart"),
    ("function", {"low": 5}, "unit_missing", "low"),
    ("function", {"unit": "V"}, "limit_missing", "low"),
    ("endurance", {"unit": "min"}, "limit_missing", "at_least"),
    ("weight", {"unit": "kg"}, "limit_missing", "at_least"),
    ("weight", {"unit": "kg", "loss_percent": 120}, "out_of_range", "loss_percent"),
]


@pytest.mark.parametrize(("sort", "data"), GOOD)
def test_a_rule_that_says_all_it_must_is_taken(sort, data):
    rule = rule_of(sort, data)

    assert isinstance(rule, StepRule), rule
    assert rule.sort == sort


@pytest.mark.parametrize(("sort", "data", "code", "field"), BAD)
def test_a_rule_that_is_wrong_is_refused_at_its_name(sort, data, code, field):
    problems = rule_of(sort, data)

    assert isinstance(problems, list)
    assert (code, field) in [(problem.code, problem.field) for problem in problems]


def test_every_mistake_is_told_at_once():
    problems = rule_of("torque", {"low": "x", "unit": "psi", "hihg": 25})

    assert sorted(codes(problems)) == ["missing", "name_unknown", "not_a_number", "unit_unknown"]


def test_numbers_written_as_text_stay_exact_and_units_get_the_houses_writing():
    rule = rule_of("torque", {"low": "0.1", "high": 0.3, "unit": "lbf ft"}).rule

    assert rule == TorqueRule(D("0.1"), D("0.3"), "ft-lb")


def test_a_charge_may_stand_at_nought_degrees():
    chart = chart_of(CHART | {"charge": 2400, "charge_at_f": 0})

    assert (chart.charge, chart.charge_at_f) == (2400, 0)


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3)
    ),
    max_leaves=6,
)
NAMES = st.sampled_from(
    ["low", "high", "unit", "limit", "is_strict", "has_drag", "chart", "what", "number", "at_least"]
)


@settings(max_examples=200, deadline=None)
@given(sort=st.sampled_from(SORTS), data=st.dictionaries(NAMES, JSON, max_size=5))
def test_whatever_an_operator_enters_is_a_rule_or_a_list_of_sentences(sort, data):
    answer = rule_of(sort, data)

    assert isinstance(answer, StepRule) or all(problem.sentence for problem in answer)
