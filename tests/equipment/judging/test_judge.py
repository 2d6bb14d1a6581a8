from __future__ import annotations

import json
from datetime import date
from decimal import Decimal as D

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from equipment.judging.declaring.rule_data import chart_of
from equipment.judging.measuring.calibration import CalibrationFact, ToolFacts
from equipment.judging.steps.judge import ToolOnDay, judge
from equipment.judging.steps.rules import rule_of

ON = date(2026, 3, 10)
GOOD_TOOL = ToolFacts(
    "W-7", (CalibrationFact("calibrated", date(2026, 1, 1), date(2026, 12, 31)),), length_mm=254
)
TORQUE = rule_of("torque", {"low": 130, "high": 140, "unit": "in-lb"})
CHART = chart_of(
    {
        "points": [[32, 2600, 2785], [70, 2900, 3100], [100, 3135, 3350]],
        "gas": "nitrogen",
        "document": "Component manual",
        "revision": "4",
        "charge": 3000,
    }
)
EVERY = {
    "confirm": rule_of("confirm", {}),
    "count": rule_of("count", {"what": "pins", "is_returned": True}),
    "torque": rule_of("torque", {"low": 20, "high": 25, "unit": "in-lb", "has_drag": True}),
    "resistance": rule_of("resistance", {"limit": 3, "unit": "mΩ", "is_strict": False}),
    "pressure": rule_of("pressure", {}),
    "function": rule_of("function", {"unit": "V", "low": 5}),
    "endurance": rule_of("endurance", {"unit": "min", "at_least": 10}),
    "weight": rule_of("weight", {"unit": "kg", "loss_percent": 5}),
    "note": rule_of("note", {}),
    "photo": rule_of("photo", {}),
}


@pytest.mark.parametrize(
    ("sort", "typed", "verdict"),
    [
        ("confirm", {"done": "yes"}, "in"),
        ("confirm", {"done": "no"}, "out"),
        ("count", {"count": "2"}, "in"),
        ("count", {"count": "1"}, "out"),
        ("torque", {"value": "28", "drag": "5"}, "in"),
        ("torque", {"value": "3,1", "unit": "N·m", "drag": "5 in-lb"}, "in"),
        ("torque", {"value": "28"}, "cannot_judge"),
        ("resistance", {"value": "2.9"}, "in"),
        ("pressure", {"value": "2950", "temperature": "70"}, "in"),
        ("pressure", {"value": "203.4 bar", "temperature": "21 °C"}, "in"),
        ("pressure", {"value": "2850", "temperature": "70"}, "out"),
        ("pressure", {"value": "2950"}, "cannot_judge"),
        ("pressure", {"value": "2950", "temperature": "101"}, "cannot_judge"),
        ("function", {"result": "pass", "value": "5.1"}, "in"),
        ("function", {"result": "fail"}, "out"),
        ("endurance", {"value": "10:00"}, "in"),
        ("weight", {"value": "4.8", "full": "5"}, "in"),
        ("weight", {"value": "4.8"}, "cannot_judge"),
        ("note", {"text": "Gauge glass is scratched"}, "none"),
        ("photo", {"photo": "3f2a"}, "none"),
    ],
)
def test_every_sort_is_judged_as_typed(sort, typed, verdict):
    outcome = judge(EVERY[sort], typed, chart=CHART, fitted=2)

    assert outcome.judgement, outcome
    assert outcome.judgement.verdict == verdict
    assert json.loads(json.dumps(outcome.values)) == outcome.values


@pytest.mark.parametrize(
    ("sort", "typed", "field", "code"),
    [
        ("confirm", {}, "done", "missing"),
        ("confirm", {"done": "perhaps"}, "done", "not_yes_or_no"),
        ("count", {"count": "1.5"}, "count", "not_whole"),
        ("torque", {}, "value", "missing"),
        ("torque", {"value": "1,234"}, "value", "ambiguous_separator"),
        ("torque", {"value": "28", "drag": "x"}, "drag", "not_a_number"),
        ("resistance", {"value": "-1"}, "value", "negative"),
        ("pressure", {"value": "2900", "temperature": "warm"}, "temperature", "not_a_number"),
        ("function", {"value": "5"}, "result", "missing"),
        ("endurance", {"value": "9:75"}, "value", "not_a_time"),
        ("weight", {"value": "4.8", "full": "5 m"}, "full", "unit_unknown"),
        ("note", {"text": " "}, "text", "missing"),
        ("note", {"text": "x" * 2001}, "text", "too_long"),
        ("photo", {}, "photo", "missing"),
    ],
)
def test_what_cannot_be_read_has_a_sentence_at_its_field(sort, typed, field, code):
    outcome = judge(EVERY[sort], typed, chart=CHART, fitted=2)

    assert outcome.judgement is None
    assert outcome.problems[field].code == code
    assert outcome.sentence == next(iter(outcome.problems.values())).sentence


def test_the_answer_to_a_question_holds_for_that_value_alone():
    first = judge(EVERY["resistance"], {"value": "3 ohm"})
    answer = {first.question.answer_field: first.question.answer}

    kept = judge(EVERY["resistance"], {"value": "3 ohm"} | answer)
    another = judge(EVERY["resistance"], {"value": "4 ohm"} | answer)

    assert kept.judgement.verdict == "out"
    assert kept.values["confirmed"] == "3 Ω"
    assert another.question.instead == "4 mΩ"


@pytest.mark.parametrize("word", ["yes", "true", "1"])
def test_a_plain_yes_is_no_answer_to_a_question(word):
    assert judge(EVERY["resistance"], {"value": "3 ohm", "confirmed": word}).question


def test_a_drag_in_the_wrong_unit_is_questioned_too():
    typed = {"value": "28", "drag": "5 ft-lb"}

    question = judge(EVERY["torque"], typed).question

    assert (question.instead, question.answer_field) == ("5 in-lb", "drag_confirmed")
    kept = judge(
        EVERY["torque"], typed | {"drag_confirmed": question.answer, "confirmed": "28 in-lb"}
    )
    assert kept.judgement.verdict == "out"


def test_with_an_extension_the_reading_is_brought_to_the_fastener():
    typed = {"value": "117", "extension": "1.5", "wrench_length": "10", "length_unit": "in"}

    outcome = judge(TORQUE, typed)

    assert outcome.judgement.verdict == "in"
    assert outcome.values["applied"] == {"value": "134.55", "unit": "in-lb"}
    assert "113.043 to 121.739 in-lb" in outcome.beside[0]


def test_the_wrenchs_length_may_come_from_its_record():
    typed = {"value": "117", "extension": "38.1"}

    assert judge(TORQUE, typed, tool=ToolOnDay(GOOD_TOOL, ON)).judgement.verdict == "in"
    assert judge(TORQUE, typed).problems["wrench_length"].code == "missing"


@pytest.mark.parametrize(
    ("more", "field"),
    [
        ({"extension": "-10"}, "extension"),
        ({"extension": "2", "wrench_length": "0"}, "wrench_length"),
    ],
)
def test_an_extension_that_leaves_no_lever_is_refused_at_its_field(more, field):
    typed = {"value": "135", "wrench_length": "10", "length_unit": "in"} | more

    assert list(judge(TORQUE, typed).problems) == [field]


@pytest.mark.parametrize(
    ("tool", "words"),
    [
        (None, "is not named"),
        (ToolFacts("W-8"), "no calibration"),
        (ToolFacts("W-9", (CalibrationFact("dropped", date(2026, 3, 1)),)), "dropped or abused"),
    ],
)
def test_a_value_of_a_tool_that_was_not_good_that_day_is_kept_but_not_judged(tool, words):
    rule = rule_of("torque", {"low": 130, "high": 140, "unit": "in-lb", "needs_tool": True})

    outcome = judge(rule, {"value": "135"}, tool=ToolOnDay(tool, ON) if tool else None)

    assert outcome.judgement.verdict == "cannot_judge"
    assert words in outcome.sentence
    assert outcome.values["value"]["value"] == "135"


def test_a_bottle_without_a_chart_is_not_judged():
    outcome = judge(EVERY["pressure"], {"value": "2950", "temperature": "70"})

    assert outcome.judgement.verdict == "cannot_judge"


def test_what_the_gas_would_show_stands_beside_the_verdict():
    outcome = judge(EVERY["pressure"], {"value": "2700", "temperature": "32"}, chart=CHART)

    assert outcome.judgement.verdict == "in"
    assert "would show 2\u202f693 psi at 32 °F; the gauge shows 7 psi more" in outcome.beside[0]


def test_a_number_from_a_program_is_read_like_a_typed_one():
    assert judge(EVERY["count"], {"count": 0}, fitted=0).judgement.verdict == "in"
    assert judge(EVERY["confirm"], {"done": True}).judgement.verdict == "in"
    assert D(judge(TORQUE, {"value": 135.5}).values["value"]["value"]) == D("135.5")


FIELDS = (
    "value unit drag drag_unit extension wrench_length length_unit angle temperature count done"
)
TEXTS = st.text(max_size=12) | st.text(alphabet="0123456789.,:- eΩmNpsi", max_size=10)


@settings(max_examples=250, deadline=None)
@given(
    sort=st.sampled_from(sorted(EVERY)),
    typed=st.dictionaries(st.sampled_from(FIELDS.split()), TEXTS, max_size=6),
)
def test_whatever_is_typed_there_is_an_answer_of_one_sort(sort, typed):
    outcome = judge(EVERY[sort], typed, chart=CHART, fitted=1)

    assert bool(outcome.judgement) + bool(outcome.problems) + bool(outcome.question) == 1
    assert outcome.sentence
    json.dumps(outcome.values)


def test_with_an_extension_the_drag_is_brought_to_the_fastener_too():
    rule = rule_of("torque", {"low": 50, "high": 66, "unit": "in-lb", "has_drag": True})
    lever = {"extension": "2", "wrench_length": "10", "length_unit": "in"}

    within, beyond = (
        judge(rule, {"value": value, "drag": "5"} | lever).judgement for value in ("60", "60.1")
    )

    # 60 · 1.2 − 5 · 1.2 = 66
    assert (within.verdict, beyond.verdict) == ("in", "out")
    assert judge(rule, {"value": "60"} | lever).judgement.verdict == "cannot_judge"


def test_a_bonding_of_nought_is_asked_about_before_it_passes():
    # Leads that touch each other, or a meter not zeroed, show nought: no bond does.
    asked = judge(EVERY["resistance"], {"value": "0"})

    assert asked.judgement is None
    assert asked.question.sentence.startswith("The meter showed 0 mΩ")
    assert asked.question.instead == ""
    kept = judge(EVERY["resistance"], {"value": "0", "confirmed": asked.question.answer})
    assert kept.judgement.verdict == "in"
    assert judge(EVERY["resistance"], {"value": "0.1"}).judgement.verdict == "in"


def test_a_drag_that_the_step_does_not_ask_for_is_said_and_taken_off():
    outcome = judge(TORQUE, {"value": "141", "drag": "6"})

    assert outcome.judgement.verdict == "in"
    assert "141 in-lb less 6 in-lb of drag, 135 in-lb" in outcome.sentence
    assert outcome.values["drag"]["value"] == "6"
    assert "does not ask for the friction drag" in outcome.beside[0]


def test_more_in_a_bottle_than_it_holds_is_asked_about_and_never_a_negative_loss():
    asked = judge(EVERY["weight"], {"value": "7", "full": "5"})

    assert asked.question.sentence == "Is it right? 7 kg is 2 kg more than it weighs full, 5 kg."
    much = judge(EVERY["weight"], {"value": "7", "full": "5", "confirmed": asked.question.answer})
    assert much.judgement.verdict == "cannot_judge"
    assert "−" not in much.sentence
    little = {"value": "5.02", "full": "5"}
    answer = judge(EVERY["weight"], little).question.answer
    assert judge(EVERY["weight"], {**little, "confirmed": answer}).judgement.verdict == "in"


RANGED = ToolFacts("VT-1041", GOOD_TOOL.history, measures=(D(10), D(100), "in-lb"), length_mm=254)


@pytest.mark.parametrize(
    ("value", "verdict"),
    [("100", "in"), ("100.5", "cannot_judge"), ("11.3 N·m", "cannot_judge"), ("11.2 N·m", "in")],
)
def test_a_value_beyond_what_its_tool_measures_is_not_judged(value, verdict):
    rule = rule_of("torque", {"low": 90, "high": 110, "unit": "in-lb", "needs_tool": True})

    outcome = judge(rule, {"value": value}, tool=ToolOnDay(RANGED, ON))

    assert outcome.judgement.verdict == verdict
    if verdict == "cannot_judge":
        assert "VT-1041 measures 10 to 100 in-lb" in outcome.sentence


def test_with_an_extension_what_the_wrench_showed_is_held_to_its_range():
    rule = rule_of("torque", {"low": 115, "high": 130, "unit": "in-lb"})
    typed = {"value": "99", "extension": "2", "wrench_length": "10", "length_unit": "in"}

    assert judge(rule, typed, tool=ToolOnDay(RANGED, ON)).judgement.verdict == "in"


def test_a_gauge_that_measures_no_further_cannot_say_that_a_bottle_is_full():
    gauge = ToolFacts("VT-3003", GOOD_TOOL.history, measures=(D(0), D(2000), "psi"))

    outcome = judge(
        EVERY["pressure"],
        {"value": "2950", "temperature": "70"},
        chart=CHART,
        tool=ToolOnDay(gauge, ON),
    )

    assert outcome.judgement.verdict == "cannot_judge"
    assert "VT-3003 measures 0 to 2\u202f000 psi" in outcome.sentence
