"""Lists of steps, rules of signing and charts, as the operator enters them."""

from __future__ import annotations

from dataclasses import replace

import pytest

from equipment.models import BottleChart, RuleSet, StepList
from equipment.procedures.acts.charts import NewChart, enter_charts
from equipment.procedures.acts.procedures import (
    NewRuleSet,
    NewStep,
    NewStepList,
    enter_rule_set,
    enter_step_lists,
)
from fleet.house.refusals import Refused
from tests.builders import NOW, a_kind, a_part, a_person, an_aircraft, day

pytestmark = pytest.mark.django_db
PIN = NewStep(1, "make_safe", "count", "Fit the pin.", {"what": "pins"})
OFF = NewStep(2, "remove", "confirm", "Lift it out.", posts="removal")
ON = NewStep(3, "install", "confirm", "Lift it in.", posts="installation")
BOLTS = NewStep(4, "install", "torque", "Bolts.", {"low": "50", "high": "70", "unit": "in-lb"})
BACK = NewStep(5, "restore", "count", "Pin back.", {"what": "pins", "is_returned": True}, returns=1)
WHOLE = (PIN, OFF, ON, BOLTS, BACK)


def a_list(*steps, **more):
    plain = {
        "code": "OW",
        "revision": "1",
        "title": "Overwing slide",
        "kind_id": a_kind("ow").pk,
        "document": "CM-1",
        "document_revision": "5",
        "from_on": day("2026-01-01"),
    }
    return NewStepList(**{**plain, **more}, steps=steps or WHOLE)


def entered(*rows, by=None):
    return enter_step_lists(by=by or a_person("controller"), rows=rows, at=NOW)


def test_a_list_is_entered_with_all_its_steps_and_once():
    first = entered(a_list())
    again = entered(a_list(), a_list(revision="2"))

    assert [each.is_new for each in first + again] == [True, False, True]
    kept = StepList.objects.get(pk=first[0].id)
    assert [step.number for step in kept.steps.order_by("number")] == [1, 2, 3, 4, 5]
    assert kept.steps.get(number=5).returns == 1


@pytest.mark.parametrize(
    ("place", "step", "code", "field"),
    [
        (
            3,
            replace(BOLTS, rule={"low": "70", "high": "50", "unit": "in-lb"}),
            "upside_down",
            "steps.3.rule",
        ),
        (
            3,
            replace(BOLTS, rule={"low": "5", "high": "6", "unit": "furlong"}),
            "unit_unknown",
            "steps.3.rule",
        ),
        (3, replace(BOLTS, sort="taste"), "sort_unknown", "steps.3.sort"),
        (3, replace(BOLTS, phase="later"), "unknown_phase", "steps.3.phase"),
        (3, replace(BOLTS, phase="remove"), "phase_out_of_order", "steps.3.phase"),
        (3, replace(BOLTS, number=3), "number_twice", "steps.3.number"),
        (3, replace(BOLTS, words=" "), "missing", "steps.3.words"),
        (3, replace(BOLTS, posts="removal"), "recorded_twice", "steps.3.posts"),
        (4, replace(BACK, returns=2), "nothing_to_return", "steps.4.returns"),
        (4, replace(BACK, returns=None), "nothing_to_return", "steps.4.returns"),
        (4, replace(BACK, rule={"what": "pins"}), "return_not_counted", "steps.4.rule"),
        (4, replace(BACK, number=0, returns=None), "number_out_of_range", "steps.4.number"),
    ],
)
def test_a_step_that_cannot_be_worked_by_is_refused_with_its_number(place, step, code, field):
    steps = [*WHOLE[:place], step, *WHOLE[place + 1 :]]

    with pytest.raises(Refused) as refused:
        entered(a_list(*steps))

    told = next(each for each in refused.value.refusals if each.code == code)
    assert (told.field, told.message.split(":")[0]) == (field, f"Step {step.number}")
    assert not StepList.objects.exists()


def test_a_revision_on_record_is_not_changed():
    entered(a_list())

    with pytest.raises(Refused) as refused:
        entered(a_list(*WHOLE[:4], replace(BACK, words="Pins back.")))

    assert refused.value.code == "step_list_on_record"


def test_a_technician_enters_no_steps():
    with pytest.raises(Refused) as refused:
        entered(a_list(), by=a_person("technician"))

    assert refused.value.code == "not_permitted"


def rules(**more):
    plain = {
        "code": "SIGN",
        "revision": "1",
        "document": "MOE",
        "from_on": day("2026-01-01"),
        "step_statement": "I did it.",
        "inspection_statement": "I saw it.",
        "release_statement": "I certify.",
    }
    return NewRuleSet(**{**plain, **more})


def test_rules_of_signing_are_entered_once():
    by = a_person("controller")
    first, again = (enter_rule_set(by=by, new=rules(), at=NOW) for _ in range(2))

    assert (first.is_new, again.is_new, first.id) == (True, False, again.id)
    assert RuleSet.objects.get().may_reinspect is False


@pytest.mark.parametrize(
    ("more", "code"),
    [
        ({"release_statement": " "}, "missing"),
        ({"may_reinspect": True}, "missing"),
        ({"document": "MOE 2"}, "rule_set_on_record"),
        ({"revision": "2"}, "rule_set_from_day"),
        ({"step_statement": "x" * 401}, "too_long"),
    ],
)
def test_rules_that_cannot_be_signed_by_are_refused(more, code):
    by = a_person("controller")
    enter_rule_set(by=by, new=rules(), at=NOW)

    with pytest.raises(Refused) as refused:
        enter_rule_set(by=by, new=rules(**more), at=NOW)

    assert refused.value.code == code


SOUND = [[32, 2707, 2807], [70, 2950, 3050], [100, 3142, 3242]]


def a_chart(points=SOUND, **more):
    plain = {
        "part_number_id": a_part("B-1").pk,
        "revision": "1",
        "gas": "nitrogen",
        "charge": "3000 psi",
        "points": points,
        "document": "CMM",
        "from_on": day("2026-01-01"),
    }
    return NewChart(**{**plain, **more})


def charted(row):
    (done,) = enter_charts(by=a_person("controller"), rows=[row], at=NOW)
    return done


def test_points_that_the_gas_would_not_show_are_kept_and_told():
    ideal = [[32, 2707, 2807], [70, 2950, 3050], [100, 3800, 3900]]

    done = charted(a_chart(ideal))

    assert any("100 °F" in sentence for sentence in done.odd)
    assert BottleChart.objects.get().points[2] == [100.0, 3800.0, 3900.0]


@pytest.mark.parametrize(
    ("more", "code", "field"),
    [
        ({"charge": "heavy"}, "not_a_number", "charge"),
        ({"charge": "1e999"}, "exponent", "charge"),
        ({"charge": "-5"}, "negative", "charge"),
        ({"charge": ""}, "missing", "charge"),
        ({"gas": "phlogiston"}, "gas_unknown", "gas"),
        ({"points": [[1, 2], [3, 4]]}, "not_a_chart", "points"),
        ({"points": [[32, 2800, 2700], [70, 1, 2]]}, "chart_shape", "points"),
    ],
)
def test_a_chart_that_cannot_be_read_is_refused_at_its_field(more, code, field):
    with pytest.raises(Refused) as refused:
        charted(a_chart(**more))

    assert (refused.value.code, refused.value.field) == (code, field)


def test_a_charge_is_read_with_its_unit_and_comma():
    charted(a_chart(charge="206,8 bar"))

    assert BottleChart.objects.get().charge_psig == pytest.approx(2999.4, abs=1)


def test_a_chart_is_entered_in_bar_and_celsius_with_a_least_alone():
    points = [[0, 178, None], [20, 199, None]]

    done = charted(a_chart(points, charge="207", charge_at="21", unit="bar", temperature_unit="°C"))

    kept = BottleChart.objects.get()
    assert (kept.unit, kept.points) == ("bar", [[32.0, 178.0, None], [68.0, 199.0, None]])
    assert kept.charge_psig == pytest.approx(3002.3, abs=0.1)
    assert done.odd == ()


def test_other_rules_may_hold_from_the_same_day_for_an_aircraft_or_a_programme():
    by, aircraft = a_person("controller"), an_aircraft()
    enter_rule_set(by=by, new=rules(), at=NOW)
    enter_rule_set(by=by, new=rules(revision="2", programme="QP-1"), at=NOW)
    enter_rule_set(by=by, new=rules(revision="3", aircraft_id=aircraft.pk), at=NOW)

    with pytest.raises(Refused) as refused:
        new = rules(revision="4", programme="QP-1", aircraft_id=aircraft.pk)
        enter_rule_set(by=by, new=new, at=NOW)

    assert refused.value.code == "one_of_two"
    assert RuleSet.objects.count() == 3
