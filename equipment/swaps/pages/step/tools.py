"""The tools that a step may be measured with, each with the state of its calibration in words."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from equipment.judging.measuring.calibration import good_until, latest_of, why_not_use
from equipment.models import Swap, Tool
from equipment.swaps.reads.given import tool_facts
from fleet.words.said import day_words

MOST = 60


@dataclass(frozen=True, slots=True)
class ToolChoice:
    """A tool to choose; ``is_good`` if its values count today."""

    code: str
    words: str
    is_good: bool
    is_chosen: bool = False


def tools_for(sort: str, swap: Swap, chosen: str, on: date) -> list[ToolChoice]:
    """The tools of a sort, the station's own first, those that are good today before the others."""
    if not sort:
        return []
    tools = Tool.objects.filter(sort=sort).prefetch_related("calibrations").order_by("code", "pk")
    found = [
        (tool.station_id == swap.station_id, _choice(tool, chosen, on)) for tool in tools[:MOST]
    ]
    found.sort(key=lambda pair: (not pair[1].is_good, not pair[0]))
    return [choice for _, choice in found]


def _choice(tool: Tool, chosen: str, on: date) -> ToolChoice:
    facts = tool_facts(tool)
    problem = why_not_use(facts, on)
    latest = latest_of(facts, on)
    until = good_until(latest, at_least_yearly=facts.at_least_yearly) if latest else None
    state = f"calibrated until {day_words(until)}" if problem is None else "not good today"
    words = f"{tool.code}, {state}: {tool.description}"
    return ToolChoice(tool.code, words, problem is None, tool.code == chosen)
