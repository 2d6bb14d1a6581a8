"""A gauge as somebody read it: in words, or as a pressure with its temperature. Pure."""

from __future__ import annotations

import re

from equipment.judging.measuring.pressure import Chart, judge_pressure
from equipment.judging.measuring.quantities import read_quantity
from equipment.judging.verdicts import Problem

#: The chart of a bottle, by which a pressure is judged at its temperature.
Band = Chart
GOOD = frozenset({"", "in the band", "in band", "in the green", "green", "ok", "no gauge"})
_AT = re.compile(r"\s*(?:@|\bat\b)\s*")


def why_not_gauge(read: str, band: Band | None) -> str:
    """Why a gauge is not as it should be; empty if it is in the band.

    A pressure is judged by the bottle's chart if its temperature was read too. What cannot be
    judged is no pass: it is told as it was read.
    """
    text = " ".join(read.split())
    if text.lower() in GOOD:
        return ""
    pressure, *warmth = _AT.split(text, maxsplit=1)
    if not pressure[:1].isdigit():
        return f"its gauge reads “{text}”."
    if band is None:
        return f"its gauge reads {text}, and no chart is on record to judge it by."
    return _judged(text, pressure, warmth[0] if warmth else "", band)


def _judged(text: str, pressure: str, warmth: str, band: Band) -> str:
    psi = read_quantity(pressure, "", expected="psi")
    fahrenheit = read_quantity(warmth, "", expected="°F") if warmth else None
    for problem in (psi, fahrenheit):
        if isinstance(problem, Problem):
            return f"its gauge reads “{text}”, which cannot be judged: {problem.sentence}"
    assert not isinstance(psi, Problem) and not isinstance(fahrenheit, Problem)
    found = judge_pressure(band, psi.value, fahrenheit.value if fahrenheit else None)
    return "" if found.verdict == "in" else found.sentence
