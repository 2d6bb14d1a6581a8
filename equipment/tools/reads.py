"""Tools as their page lists them, with the values that they touched."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from equipment.common.wording import PLACE_PARTS, place_words
from equipment.judging.measuring.calibration import (
    ValueFact,
    good_until,
    latest_of,
    values_touched,
    why_not_use,
)
from equipment.models import StepEntry, Tool
from equipment.swaps.pages.step_rows import typed_words
from equipment.swaps.reads.given import tool_facts
from fleet.words.said import day_words

MOST_TOOLS, MOST_VALUES = 300, 1000


@dataclass(frozen=True, slots=True)
class Touched:
    """A value that a tool took while it may have been wrong."""

    swap_id: int
    step_number: int
    where: str
    words: str
    value: str
    on: date


@dataclass(frozen=True, slots=True)
class ToolShown:
    """A tool, whether it is good today, and the values to look at again if it was found out."""

    code: str
    sort: str
    description: str
    serial_number: str
    station: str
    state: str
    is_good: bool
    touched: tuple[Touched, ...] = ()


def tools(on: date) -> list[ToolShown]:
    """Every tool, those that are not good today on top."""
    found = Tool.objects.select_related("station").order_by("code", "pk")[:MOST_TOOLS]
    return sorted((_tool(each, on) for each in found), key=lambda shown: shown.is_good)


def _tool(tool: Tool, on: date) -> ToolShown:
    facts = tool_facts(tool)
    problem, latest = why_not_use(facts, on), latest_of(facts, on)
    until = good_until(latest, at_least_yearly=facts.at_least_yearly) if latest else None
    is_out = latest is not None and latest.sort != "calibrated"
    return ToolShown(
        code=tool.code,
        sort=tool.get_sort_display(),
        description=tool.description,
        serial_number=tool.serial_number,
        station=tool.station.code if tool.station else "",
        state=problem.sentence if problem else f"Calibrated until {day_words(until)}.",
        is_good=problem is None,
        touched=tuple(touched_by(tool, latest.done_on)) if is_out and latest else (),
    )


def touched_by(tool: Tool, found_on: date) -> list[Touched]:
    """Every value that the tool may have spoilt, when it was found out on this day."""
    entries = StepEntry.objects.filter(tool=tool).select_related(
        "step", *(f"swap__place__{part}" for part in PLACE_PARTS)
    )
    by_id = {entry.pk: entry for entry in entries.order_by("pk")[:MOST_VALUES]}
    facts = [ValueFact(key, tool.code, entry.entered_at.date()) for key, entry in by_id.items()]
    found = values_touched(tool_facts(tool), found_on, facts)
    return [_touched(by_id[int(value.id)]) for value in found]


def _touched(entry: StepEntry) -> Touched:
    return Touched(
        entry.swap_id,
        entry.step.number,
        place_words(entry.swap.place),
        entry.step.words,
        typed_words(entry.step, entry.typed),
        entry.entered_at.date(),
    )
