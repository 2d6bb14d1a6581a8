"""A tool found out of tolerance, or dropped: every value that it touched is looked at again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.db import transaction

from equipment.common.texts import derived_act_id, lock_entering
from equipment.models import Calibration, Discrepancy, StepEntry, Tool
from equipment.tools.acts.tools import report_known, unknown_tool
from equipment.tools.touched import entries_touched
from fleet.acts.act import Act
from fleet.acts.answers import shown
from fleet.acts.fields import choice, day, text
from fleet.acts.repeats import act_id_used, claim
from fleet.house.desks import ask
from fleet.house.moments import refuse_future
from fleet.house.refusals import Refused
from fleet.house.texts import refuse_blank
from fleet.models import User
from fleet.words.said import day_words

REPORTS = (("found_out", "found out of tolerance"), ("dropped", "dropped or abused"))


@dataclass(frozen=True, slots=True)
class Reported:
    """A tool's report on record, and a discrepancy for each value that it may have spoilt."""

    calibration_id: int
    discrepancy_ids: tuple[int, ...]
    is_new: bool = True


@transaction.atomic
def report_tool(
    *, by: User, tool: str, sort: str, found_on: date, words: str, act_id: UUID, at: datetime
) -> Reported:
    """This will record a tool as ``found_out`` of tolerance or ``dropped``, with a discrepancy for every
    value that it touched since it was last calibrated.

    The values are no good until each is settled. Refuses an unknown tool, a day to come, no words;
    the same report again gives the first.
    """
    ask(by, "record_calibration")
    told = {"tool": tool, "sort": sort, "found_on": found_on, "words": words}
    claim(act_id, "report_tool", told, by=by, at=at)
    lock_entering("calibrations")
    row = Tool.objects.filter(code__iexact=tool.strip()).first()
    if row is None:
        raise Refused.all_of([unknown_tool(tool)])
    if sort not in dict(REPORTS):
        raise Refused("unknown_sort", "A tool is reported as found_out or dropped.", "sort")
    refuse_future(found_on, at, "found_on")
    said = refuse_blank(words, "Say what was found.", "words", 200)
    known = report_known(row.code, sort, found_on)
    touched = entries_touched(row, found_on)
    if known is not None:
        return Reported(known.pk, _noted(row, touched), is_new=False)
    made = Calibration.objects.create(
        tool=row,
        sort=sort,
        done_on=found_on,
        certificate=said[:80],
        recorded_at=at,
        recorded_by=by,
    )
    for entry in touched:
        _note(entry, made, words, by=by, act_id=derived_act_id(act_id, f"entry {entry.pk}"))
    return Reported(made.pk, _noted(row, touched))


def _noted(tool: Tool, touched: Sequence[StepEntry]) -> tuple[int, ...]:
    found = Discrepancy.objects.filter(sort="tool", entry__in=touched, entry__tool=tool)
    return tuple(found.order_by("pk").values_list("pk", flat=True))


def _note(entry: StepEntry, made: Calibration, words: str, *, by: User, act_id: UUID) -> None:
    swap, how = entry.swap, made.get_sort_display()
    told = (
        f"Step {entry.step.number} of swap {swap.pk} was measured with {made.tool.code}, {how} on"
    )
    said = f"{told} {day_words(made.done_on)}: {entry.sentence} {words.strip()}"
    if Discrepancy.objects.filter(act_id=act_id).exists():
        raise act_id_used()
    Discrepancy.objects.create(
        act_id=act_id,
        sort="tool",
        aircraft=swap.aircraft,
        place=swap.place,
        swap=swap,
        entry=entry,
        words=said[:400],
        found_at=made.recorded_at,
        found_by=by,
    )


@dataclass(frozen=True, slots=True)
class ToolReport:
    """A tool was found out of tolerance, or dropped."""

    tool: str = text("Tool", 24, help="Its code.")
    sort: str = choice("What happened to it", REPORTS)
    found_on: date = day("Found on")
    words: str = text("What was found", 200, needed="Say what was found.", help="What was found.")


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolReported:
    """The report, and the discrepancies of the values that the tool may have spoilt."""

    calibration: int = shown("calibration_id")
    discrepancies: tuple[int, ...] = shown("discrepancy_ids")


# --- declared ---------------------------------------------------------------------------------

REPORT_TOOL = Act(
    name="report_tool",
    does=report_tool,
    said=ToolReport,
    who="record_calibration",
    tag="Tools",
    summary="Report a tool",
    description="Records a tool as found out of tolerance, or dropped. Every value that it touched "
    "since it was last calibrated becomes a discrepancy, and holds its swap's release.",
    address="tool-reports",
    example={
        "act_id": "0b8c0d1e-7c58-4d0c-8f3c-0f2f6d1f6b11",
        "tool": "VT-104",
        "sort": "found_out",
        "found_on": "2024-03-09",
        "words": "Reads 8 % low at 60 in-lb.",
    },
    shows=ToolReported,
    answer={"calibration": 12, "discrepancies": [31, 32]},
)
