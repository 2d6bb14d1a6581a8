"""Every sort of step at every place that a step passes through: a place forgotten is named here."""

from __future__ import annotations

import json
import pkgutil
from importlib import import_module

import pytest

from equipment.judging import sorts
from equipment.judging.declaring.cells import COLUMNS, rule_from, unplaced
from equipment.judging.declaring.controls import Controls
from equipment.judging.declaring.sort import Sort
from equipment.judging.sorts.table import NAMES, SORTS
from equipment.judging.steps.aims import aim_of
from equipment.judging.steps.judge import judge
from equipment.judging.steps.rules import StepRule, rule_of
from equipment.judging.verdicts import answer_field_of
from equipment.models import Step, Tool
from equipment.swaps.pages.step.forms import controls_of, typed_of
from equipment.swaps.pages.step_rows import typed_words
from tests.equipment.judging.test_judge import CHART

BLANK = {**dict.fromkeys(COLUMNS), "returns": None, "needs_tool": None}
ROOM = [found.name for found in pkgutil.iter_modules(sorts.__path__) if found.name != "table"]
every_sort = pytest.mark.parametrize("sort", SORTS, ids=lambda sort: sort.code)


class Recorded(dict):
    """What was typed, keeping each name that was looked for."""

    def __init__(self, typed):
        super().__init__(typed)
        self.asked = set()

    def get(self, name, default=None):
        self.asked.add(name)
        return super().get(name, default)


def checked(sort):
    rule = rule_of(sort.code, sort.example.rule)
    assert isinstance(rule, StepRule), f"the example's rule of “{sort.code}”: {rule}"
    return rule


def asked_for(controls: Controls):
    """Every name that the controls have a field, a unit or a button for."""
    fields = [*controls.fields, *controls.lever]
    fields += [each for each in (controls.counter, controls.text) if each]
    names = {each.name for each in (*fields, *controls.choices)}
    return names | {each.unit_name for each in fields if each.unit_name}


@pytest.mark.parametrize("module", ROOM)
def test_each_module_of_the_room_is_one_sort_and_stands_in_the_table(module):
    told = vars(import_module(f"{sorts.__name__}.{module}")).values()

    declared = [each for each in told if isinstance(each, Sort)]

    assert [each.code for each in declared] == [module]
    assert declared[0] in SORTS, f"“{module}” is missing in equipment/judging/sorts/table.py"


@every_sort
def test_its_lines_columns_make_its_rule(sort):
    line = BLANK | dict(sort.example.cells)

    assert rule_from(sort.cells, line) == sort.example.rule
    assert unplaced(sort.cells, line) == []


@every_sort
def test_its_example_is_in_tolerance_and_fit_to_be_kept(sort):
    outcome = judge(checked(sort), sort.example.typed, chart=CHART)

    assert outcome.judgement, outcome
    assert outcome.judgement.verdict in {"in", "none"}, outcome.sentence
    assert json.loads(json.dumps(outcome.values)) == outcome.values


@every_sort
def test_it_reads_no_name_that_it_does_not_declare(sort):
    typed = Recorded(sort.example.typed)
    answers = {answer_field_of(name) for name in sort.questioned}

    judge(checked(sort), typed, chart=CHART)

    assert typed.asked <= {*sort.typed, *answers}
    assert set(sort.example.typed) <= set(sort.typed)


@every_sort
def test_a_question_it_asks_is_answered_in_a_name_that_forms_and_doors_take(sort):
    rule = checked(sort)
    asked = set()
    for name in sort.example.typed:
        for far in ("0.0003", "3", "7", "40", "90", "5000"):
            for unit in ("mΩ", "Ω", "bar", "psi", "N·m", "ft-lb", "s", "h", "V", "mV", "g", "lb"):
                typed = {**sort.example.typed, name: f"{far} {unit}"}
                if question := judge(rule, typed, chart=CHART).question:
                    asked.add(question.field)

    assert asked <= set(sort.questioned), f"“{sort.code}” asks about {asked}"
    assert {answer_field_of(name) for name in asked} <= set(NAMES)


@every_sort
def test_its_controls_ask_for_what_it_reads_and_show_what_was_typed(sort):
    controls = controls_of(sort.code, sort.example.rule, sort.example.typed)

    names = asked_for(controls) | ({"photo"} if controls.is_photo else set())

    assert names <= set(sort.typed), "a control sends a name that the sort does not declare"
    assert set(sort.example.typed) <= names, "what the example types has no control"
    assert typed_of(sort.example.typed) == sort.example.typed


@every_sort
def test_each_unit_that_it_offers_is_read(sort):
    controls = controls_of(sort.code, sort.example.rule, {})
    offered = [
        (field.name, field.unit_name, unit)
        for field in (*controls.fields, *controls.lever)
        for unit in field.units
    ]

    for name, unit_name, unit in offered:
        typed = {**sort.example.typed, name: "1", unit_name: unit}
        problems = judge(checked(sort), typed, chart=CHART).problems
        assert not {name, unit_name} & set(problems), f"“{unit}” of “{sort.code}”: {problems}"


@every_sort
def test_what_was_typed_is_told_in_words(sort):
    step = Step(sort=sort.code, rule=dict(sort.example.rule))

    assert typed_words(step, sort.example.typed), "see typed_words of equipment/swaps/pages"


@every_sort
def test_it_aims_at_something_or_says_nothing_without_a_fault(sort):
    assert isinstance(aim_of(checked(sort), sort.example.typed, chart=CHART), str)


@every_sort
def test_it_is_kept_as_it_is_called(sort):
    field = Step._meta.get_field("sort")

    assert dict(field.choices)[sort.code] == sort.words
    assert len(sort.code) <= field.max_length
    assert sort.tool in {"", *dict(Tool.SORTS)}, f"“{sort.tool}” is no sort of tool"


def test_a_sort_more_needs_no_migration():
    path, _, options = Step._meta.get_field("sort").deconstruct()[1:]

    assert path.endswith("CharField")
    assert callable(options["choices"]), "choices kept in migrations change with every sort"
