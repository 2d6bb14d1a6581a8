"""A leak test: how far the pressure fell in a time, the temperature held (AC 43.13-1B ¶9-50b).

Its rule: ``most_drop`` ``unit`` ``minutes`` ``steady_f`` (the temperature must change by less, in °F).
Typed: ``before`` ``after`` ``unit``, ``before_temperature`` ``after_temperature`` ``temperature_unit``,
``value`` (how long it stood).
"""

from __future__ import annotations

from equipment.judging.declaring.cells import Cell
from equipment.judging.declaring.controls import Controls, measured
from equipment.judging.declaring.rule_data import RuleData
from equipment.judging.declaring.sort import Example, Given, Sort
from equipment.judging.declaring.typed import Typed
from equipment.judging.measuring.leak import LeakReading, LeakRule, judge_leak
from equipment.judging.verdicts import Judgement, amount_words


def _rule_of(read: RuleData) -> LeakRule:
    unit = read.unit("pressure")
    drop, minutes, steady = (
        read.number(name, needed=True) or RuleData.NOUGHT
        for name in ("most_drop", "minutes", "steady_f")
    )
    return LeakRule(drop, unit, minutes, steady)


def _judge(read: Typed, rule: LeakRule, given: Given) -> Judgement | None:
    unit, warmth_unit = read.text("unit"), read.text("temperature_unit")
    before, after = (read.quantity(name, rule.unit, unit) for name in ("before", "after"))
    warm_before, warm_after = (
        read.quantity(f"{name}_temperature", "°F", warmth_unit, needed=False)
        for name in ("before", "after")
    )
    stood = read.quantity("value", "min")
    if before is None or after is None or stood is None or read.problems:
        return None
    reading = LeakReading(
        before.value,
        after.value,
        warm_before.value if warm_before else None,
        warm_after.value if warm_after else None,
        stood.value,
    )
    return judge_leak(rule, reading)


def _controls(rule: LeakRule, fitted: int | None) -> Controls:
    fields = (
        measured("before", "Gauge before", rule.unit),
        measured("before_temperature", "Temperature before", "°F", "temperature_unit"),
        measured("after", "Gauge after", rule.unit),
        measured("after_temperature", "Temperature after", "°F", "temperature_unit"),
        measured("value", "It stood, in minutes (60, 1:00 h)", "min", "", keypad="text"),
    )
    most = f"a drop of at most {amount_words(rule.most_drop, rule.unit)}"
    steady = amount_words(rule.steady_f, "°F")
    more = f"over {amount_words(rule.minutes, 'min')}, the temperature steady within {steady}"
    return Controls(wanted=most, more=more, fields=fields)


LEAK = Sort(
    code="leak",
    words="leak test",
    typed=(
        "value",
        "before",
        "after",
        "unit",
        "before_temperature",
        "after_temperature",
        "temperature_unit",
    ),
    rule_of=_rule_of,
    judge=_judge,
    controls=_controls,
    cells=(Cell("high", "most_drop"), Cell("unit"), Cell("minutes"), Cell("steady_f")),
    tool="gauge",
    example=Example(
        {"high": "100", "unit": "psi", "minutes": "60", "steady_f": "10"},
        {"most_drop": "100", "unit": "psi", "minutes": "60", "steady_f": "10"},
        {
            "before": "1850",
            "after": "1800",
            "before_temperature": "70",
            "after_temperature": "74",
            "value": "60",
        },
    ),
)
