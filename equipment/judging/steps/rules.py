"""A step's rule as the operator enters it, checked once into a plain rule.

=========== ============================================== ==========================================
sort        rule                                           typed
=========== ============================================== ==========================================
confirm     nothing                                        ``done``: yes or no
count       ``what``; ``number`` if laid down;             ``count``
            ``is_returned`` if it answers a fitting (the
            number fitted is handed to ``judge``)
torque      ``low`` ``high`` ``unit``; ``has_drag``        ``value`` ``unit`` ``drag`` ``drag_unit``;
                                                           with an extension ``extension``
                                                           ``wrench_length`` ``length_unit`` ``angle``
resistance  ``limit`` ``unit`` ``is_strict`` (less than;   ``value`` ``unit``
            otherwise: does not exceed)
pressure    ``unit`` (or psi); ``chart`` unless one is handed to    ``value`` ``unit`` ``temperature``
            ``judge``: ``points`` of [°F, least, most],    ``temperature_unit``
            ``gas`` ``document`` ``revision``, ``charge``
            at ``charge_at_f``
function    ``unit`` with ``low``, ``high`` or both, if    ``result``: pass or fail; ``value``
            there is a reading                             ``unit``
endurance   ``unit``; ``at_least``, ``at_most`` or both    ``value`` (9:59 too) ``unit``
weight      ``unit``; ``at_least``, or ``loss_percent``    ``value`` ``unit``; ``full`` ``full_unit``
            with ``is_strict`` and ``full`` if it is one
            for all
note        nothing                                        ``text``
photo       nothing                                        ``photo``: what names the stored pictures
=========== ============================================== ==========================================

Any rule may have ``needs_tool``: its value counts only with a tool that was calibrated that day.
Numbers may be written as text, which keeps 0.1 exact. A unit left out of ``typed`` is the rule's;
``drag_unit`` left out is the reading's. Any entry may have ``confirmed`` (and ``drag_confirmed``):
the ``answer`` of a :class:`Question` that was asked about that very value.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from equipment.judging.measuring.counts import CountRule
from equipment.judging.measuring.endurance import EnduranceRule
from equipment.judging.measuring.function import FunctionRule
from equipment.judging.measuring.pressure import Chart
from equipment.judging.measuring.resistance import ResistanceRule
from equipment.judging.measuring.torque import TorqueRule
from equipment.judging.measuring.weights import WeightRule
from equipment.judging.verdicts import Problem

from .rule_data import RuleData


@dataclass(frozen=True, slots=True)
class PlainRule:
    """Of a confirmation, a note or a photo: nothing but that it is there."""


@dataclass(frozen=True, slots=True)
class PressureRule:
    """The unit the entry is kept in, and the chart if the step brings its own."""

    unit: str
    chart: Chart | None = None


Rule = (
    PlainRule
    | CountRule
    | TorqueRule
    | ResistanceRule
    | PressureRule
    | FunctionRule
    | EnduranceRule
    | WeightRule
)


@dataclass(frozen=True, slots=True)
class StepRule:
    """A checked rule of one step."""

    sort: str
    rule: Rule
    needs_tool: bool = False


def rule_of(sort: str, data: Mapping[str, Any]) -> StepRule | list[Problem]:
    """The rule that an operator's data says, or everything that is wrong with it.

    Refuses what is missing, misspelt or of the wrong sort, ranges upside down, units that do not
    measure this. The table above tells each sort's data.
    """
    if sort not in _RULES:
        return [Problem("sort_unknown", f"“{sort}” is not a sort of step.", "sort")]
    if not isinstance(data, Mapping):
        return [Problem("not_a_rule", "A step's rule is a table of names and values.", "rule")]
    read = RuleData(data)
    needs_tool = read.flag("needs_tool")
    rule = _RULES[sort](read)
    return read.finished() or StepRule(sort, rule, needs_tool)


def _plain(read: RuleData) -> Rule:
    return PlainRule()


def _count(read: RuleData) -> Rule:
    what, number = read.text("what"), read.whole("number")
    return CountRule(what, number, read.flag("is_returned"))


def _torque(read: RuleData) -> Rule:
    unit = read.unit("torque")
    low, high = read.ordered("low", "high", needs_both=True)
    return TorqueRule(low or RuleData.NOUGHT, high or RuleData.NOUGHT, unit, read.flag("has_drag"))


def _resistance(read: RuleData) -> Rule:
    limit = read.number("limit", needed=True) or RuleData.NOUGHT
    # Which of the two it is must be said: the sources differ (published-facts section 13).
    return ResistanceRule(limit, read.unit("resistance"), read.flag("is_strict", needed=True))


def _pressure(read: RuleData) -> Rule:
    unit = read.unit("pressure", usual="psi")
    return PressureRule(unit, read.chart("chart", unit))


def _function(read: RuleData) -> Rule:
    if not read.has("unit"):
        for name in ("low", "high"):
            if read.has(name):
                read.refuse(name, "unit_missing", f"“{name}” needs the unit of the reading.")
        read.number("low"), read.number("high")
        return FunctionRule()
    unit = read.unit("voltage", "time", "pressure", "torque", "resistance", "length", "mass")
    low, high = read.ordered("low", "high")
    return FunctionRule(low, high, unit)


def _endurance(read: RuleData) -> Rule:
    unit = read.unit("time")
    least, most = read.ordered("at_least", "at_most")
    return EnduranceRule(least, most, unit)


def _weight(read: RuleData) -> Rule:
    unit = read.unit("mass")
    least, percent, full = (read.number(name) for name in ("at_least", "loss_percent", "full"))
    if least is None and percent is None:
        sentence = "Say the least weight or the most loss in per cent."
        read.refuse("at_least", "limit_missing", sentence)
    if percent is not None and percent > 100:
        read.refuse("loss_percent", "out_of_range", "A loss is at most 100 per cent.")
    return WeightRule(unit, least, percent, read.flag("is_strict"), full)


_RULES: dict[str, Callable[[RuleData], Rule]] = {
    "confirm": _plain,
    "count": _count,
    "torque": _torque,
    "resistance": _resistance,
    "pressure": _pressure,
    "function": _function,
    "endurance": _endurance,
    "weight": _weight,
    "note": _plain,
    "photo": _plain,
}
SORTS = tuple(_RULES)
