"""One entry judged as typed: what acts, pages and API all call."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any

from equipment.judging.measuring.calibration import ToolFacts, why_not_use
from equipment.judging.measuring.counts import CountRule, judge_count
from equipment.judging.measuring.endurance import EnduranceRule, judge_endurance
from equipment.judging.measuring.function import FunctionRule, judge_function
from equipment.judging.measuring.gas import GASES
from equipment.judging.measuring.pressure import Chart, judge_pressure, plausible, range_at
from equipment.judging.measuring.resistance import ResistanceRule, judge_resistance
from equipment.judging.measuring.torque import TorqueRule
from equipment.judging.measuring.units import converted
from equipment.judging.measuring.weights import WeightRule, judge_weight
from equipment.judging.verdicts import Judgement, Outcome

from .rules import PlainRule, PressureRule, StepRule, rule_of
from .torque_entry import torque_entry
from .typed import Typed

__all__ = ["Given", "ToolOnDay", "judge", "rule_of"]


@dataclass(frozen=True, slots=True)
class ToolOnDay:
    """The tool that a value was taken with, and the day."""

    facts: ToolFacts
    on: date


@dataclass(frozen=True, slots=True)
class Given:
    """What the entry is judged with besides the rule: tool, the bottle's chart, what was fitted."""

    tool: ToolOnDay | None = None
    chart: Chart | None = None
    fitted: int | None = None


def judge(
    rule: StepRule,
    typed: Mapping[str, Any],
    *,
    tool: ToolOnDay | None = None,
    chart: Chart | None = None,
    fitted: int | None = None,
) -> Outcome:
    """The verdict on what was typed, or problems by field, or a question; never an exception.

    ``typed`` has the fields of the table in `rules`. ``chart`` is the bottle's own; ``fitted`` is
    the count that a returned count answers. A value of a tool that was not good that day, or
    without the tool that the rule needs, is taken but cannot be judged.
    """
    read = Typed(typed)
    judgement = _SORTS[rule.sort](read, rule.rule, Given(tool, chart, fitted))
    outcome = read.outcome(judgement)
    return _with_tool(outcome, rule, tool)


def _with_tool(outcome: Outcome, rule: StepRule, tool: ToolOnDay | None) -> Outcome:
    found = outcome.judgement
    if found is None or (tool is None and not rule.needs_tool):
        return outcome
    if tool is None:
        reason = "the tool it was taken with is not named."
    else:
        problem = why_not_use(tool.facts, tool.on)
        if problem is None:
            return outcome
        reason = problem.sentence
    sentence = f"It cannot be judged: {reason} As read: {found.sentence}"
    return replace(outcome, judgement=Judgement("cannot_judge", sentence))


def _confirm(read: Typed, rule: Any, given: Given) -> Judgement | None:
    done = read.choice("done", "Say whether it is done: yes or no.")
    if done is None:
        return None
    return Judgement("in", "Done.") if done else Judgement("out", "Not done.", "not done")


def _count(read: Typed, rule: CountRule, given: Given) -> Judgement | None:
    counted = read.quantity("count", "")
    if counted is None:
        return None
    if rule.is_returned and given.fitted is not None:
        read.values["fitted"] = given.fitted
    return judge_count(rule, int(counted.value), given.fitted)


def _torque(read: Typed, rule: TorqueRule, given: Given) -> Judgement | None:
    length = given.tool.facts.length_mm if given.tool else None
    return torque_entry(read, rule, Decimal(repr(length)) if length else None)


def _resistance(read: Typed, rule: ResistanceRule, given: Given) -> Judgement | None:
    reading = read.quantity("value", rule.unit, read.text("unit"))
    if reading is None:
        return None
    read.ask(reading, None, rule.limit)
    return judge_resistance(rule, reading.value)


def _pressure(read: Typed, rule: PressureRule, given: Given) -> Judgement | None:
    chart = given.chart or rule.chart
    unit = chart.unit if chart else rule.unit
    reading = read.quantity("value", unit, read.text("unit") or rule.unit)
    warmth = read.quantity("temperature", "°F", read.text("temperature_unit"), needed=False)
    if reading is None or read.problems:
        return None
    if chart is None:
        sentence = "It cannot be judged: no chart of this bottle is recorded."
        return Judgement("cannot_judge", sentence)
    at = warmth.value if warmth else None
    read.ask(reading, *_expected(chart, at))
    if at is not None:
        _beside(read, chart, reading.value, at)
    return judge_pressure(chart, reading.value, at)


def _expected(chart: Chart, at: Decimal | None) -> tuple[Decimal, Decimal]:
    """The band at the temperature or, where there is none, all that the chart covers."""
    band = range_at(chart, at) if at is not None else None
    return band or (min(p[1] for p in chart.points), max(p[2] for p in chart.points))


def _beside(read: Typed, chart: Chart, reading: Decimal, at: Decimal) -> None:
    if chart.charge is None or chart.gas not in GASES:
        return
    charge, shown = (converted(x, chart.unit, "psi", "pressure") for x in (chart.charge, reading))
    answer = plausible(chart.gas, float(charge), float(chart.charge_at_f), float(shown), float(at))
    read.beside.append(answer.sentence)


def _function(read: Typed, rule: FunctionRule, given: Given) -> Judgement | None:
    passed = read.choice("result", "Say how the test went: pass or fail.")
    reading = None
    if rule.unit is not None:
        reading = read.quantity("value", rule.unit, read.text("unit"), needed=False)
        if reading is not None:
            read.ask(reading, rule.low, rule.high)
    if passed is None:
        return None
    return judge_function(rule, passed, reading.value if reading else None)


def _endurance(read: Typed, rule: EnduranceRule, given: Given) -> Judgement | None:
    lasted = read.quantity("value", rule.unit, read.text("unit"))
    if lasted is None:
        return None
    # Minutes and seconds with their colon say their unit themselves.
    if ":" not in lasted.as_typed:
        read.ask(lasted, rule.at_least, rule.at_most)
    return judge_endurance(rule, lasted.value)


def _weight(read: Typed, rule: WeightRule, given: Given) -> Judgement | None:
    weight = read.quantity("value", rule.unit, read.text("unit"))
    typed = read.quantity("full", rule.unit, read.text("full_unit"), needed=False)
    if weight is None:
        return None
    full = typed.value if typed else rule.full
    least = full / 2 if full else rule.at_least
    read.ask(weight, least, full * 2 if full else None)
    return judge_weight(rule, weight.value, full)


def _note(read: Typed, rule: PlainRule, given: Given) -> Judgement | None:
    return Judgement("none", "Noted.") if read.kept_text("text", "Write the note.") else None


def _photo(read: Typed, rule: PlainRule, given: Given) -> Judgement | None:
    kept = read.kept_text("photo", "Take the photo.")
    return Judgement("none", "The photo is kept.") if kept else None


_SORTS: dict[str, Callable[[Typed, Any, Given], Judgement | None]] = {
    "confirm": _confirm,
    "count": _count,
    "torque": _torque,
    "resistance": _resistance,
    "pressure": _pressure,
    "function": _function,
    "endurance": _endurance,
    "weight": _weight,
    "note": _note,
    "photo": _photo,
}
