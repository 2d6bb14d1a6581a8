"""Whether a tool's values can be relied on, and which values a bad tool touched."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal

from dateutil.relativedelta import relativedelta

from equipment.judging.verdicts import Problem, amount_words, range_words
from fleet.words.said import day_words

from .quantities import read_range
from .units import UNITS, converted, sort_of, unit_named

Sort = Literal["calibrated", "found_out", "dropped"]
YEARLY_MONTHS = 12
# What a tool of a sort measures; one of another sort may measure anything.
MEASURES: Mapping[str, tuple[str, ...]] = {
    "wrench": ("torque",),
    "ohmmeter": ("resistance",),
    "gauge": ("pressure",),
    "thermometer": ("temperature",),
    "scale": ("mass",),
    "timer": ("time",),
    "lightmeter": ("luminance", "illuminance"),
    "flowmeter": ("flow",),
    "forcegauge": ("force",),
    "insulation": ("insulation",),
}


@dataclass(frozen=True, slots=True)
class CalibrationFact:
    """A tool was calibrated (good until ``due_on``), found out of tolerance, dropped or abused."""

    sort: Sort
    done_on: date
    due_on: date | None = None
    certificate: str = ""
    id: int | str | None = None


@dataclass(frozen=True, slots=True)
class ToolFacts:
    """A tool and its record, in the order recorded; ``at_least_yearly`` caps what a paper says.

    Of one day's records the later recorded counts: dropped and calibrated again the same day is
    good, calibrated and then dropped is not. ``measures`` is the least and most that it can show,
    with their unit; None if that is not on record.
    """

    code: str
    history: tuple[CalibrationFact, ...] = ()
    at_least_yearly: bool = False
    length_mm: float | None = None
    measures: tuple[Decimal, Decimal, str] | None = None


@dataclass(frozen=True, slots=True)
class ValueFact:
    """A value that was taken with a tool on a day."""

    id: int | str
    tool: str
    on: date


def latest_of(tool: ToolFacts, on: date) -> CalibrationFact | None:
    """What the tool's record last said on a day."""
    until = [(fact.done_on, place) for place, fact in enumerate(tool.history) if fact.done_on <= on]
    return tool.history[max(until)[1]] if until else None


def good_until(fact: CalibrationFact, *, at_least_yearly: bool) -> date | None:
    """The last day that a calibration is good for; None if nothing says."""
    yearly = fact.done_on + relativedelta(months=YEARLY_MONTHS) if at_least_yearly else None
    days = [day for day in (fact.due_on, yearly) if day is not None]
    return min(days, default=None)


def why_not_use(tool: ToolFacts, on: date) -> Problem | None:
    """Why a tool's values of a day cannot be relied on; None if it was calibrated that day.

    The last day is included. A drop, abuse or finding out of tolerance ends it until the next
    calibration (AC 43.13-1B ¶7-40a).
    """
    latest = latest_of(tool, on)
    if latest is None:
        sentence = f"{tool.code} has no calibration on record before {day_words(on)}."
        return Problem("tool_not_calibrated", sentence, "tool")
    if latest.sort != "calibrated":
        how = "dropped or abused" if latest.sort == "dropped" else "found out of tolerance"
        sentence = f"{tool.code} was {how} on {day_words(latest.done_on)} and not calibrated since."
        return Problem(f"tool_{latest.sort}", sentence, "tool")
    until = good_until(latest, at_least_yearly=tool.at_least_yearly)
    if until is None:
        sentence = f"{tool.code}: its calibration does not say until when it is good."
        return Problem("tool_without_due_day", sentence, "tool")
    if on > until:
        sentence = f"{tool.code} was calibrated until {day_words(until)}."
        return Problem("tool_out_of_date", sentence, "tool")
    return None


def range_of(sort: str, text: str) -> tuple[Decimal, Decimal, str] | Problem:
    """What a tool of a sort measures, out of ``10 to 100 in-lb``."""
    return read_range(text, *MEASURES.get(sort, tuple(UNITS)))


def why_not_measured(tool: ToolFacts, value: Decimal, unit: str) -> Problem | None:
    """Why a tool cannot have shown a value, in the unit it was read in: beyond what it measures."""
    if tool.measures is None:
        return None
    low, high, own = tool.measures
    said = f"{tool.code} measures {range_words(low, high, own)}"
    sort = sort_of(own)
    if sort is None or unit_named(unit, sort) is None:
        return Problem("tool_measures_other", f"{said}: it shows no {unit or 'count'}.", "tool")
    if low <= converted(value, unit, own, sort) <= high:
        return None
    sentence = f"{said}: {amount_words(value, unit)} is beyond it. Take another tool."
    return Problem("beyond_tool", sentence, "tool")


def values_touched(tool: ToolFacts, found_on: date, values: Iterable[ValueFact]) -> list[ValueFact]:
    """Every value that a tool found out of tolerance on a day may have spoilt, by day.

    From its last good calibration before that day, that day included (what was measured earlier
    that day rests on the calibration itself, which is the cautious reading), to the day it was
    found. Without an earlier calibration: all of its values until then.
    """
    good = [
        fact.done_on
        for fact in tool.history
        if fact.sort == "calibrated" and fact.done_on < found_on
    ]
    since = max(good, default=date.min)
    touched = [v for v in values if v.tool == tool.code and since <= v.on <= found_on]
    return sorted(touched, key=lambda value: (value.on, str(value.id)))
