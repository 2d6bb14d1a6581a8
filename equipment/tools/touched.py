"""Which values a tool touched, as rows: what is judged again when it is found out."""

from __future__ import annotations

from datetime import date

from equipment.common.wording import PLACE_PARTS
from equipment.judging.measuring.calibration import ValueFact, values_touched
from equipment.models import StepEntry, Tool
from equipment.swaps.reads.given import tool_facts
from equipment.swaps.reads.rows import day_of


def entries_touched(tool: Tool, found_on: date) -> list[StepEntry]:
    """Every entry that a tool found bad on a day may have spoilt, in the order of days.

    From its last good calibration before that day; the day of an entry is its station's.
    """
    parts = (f"swap__place__{part}" for part in PLACE_PARTS)
    rows = StepEntry.objects.filter(tool=tool).select_related(
        "step", "swap__station", "swap__aircraft", *parts
    )
    entries = {each.pk: each for each in rows}
    facts = [ValueFact(key, tool.code, day_of(e.swap, e.entered_at)) for key, e in entries.items()]
    return [entries[int(value.id)] for value in values_touched(tool_facts(tool), found_on, facts)]
