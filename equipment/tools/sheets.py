"""Tools with their calibrations, and the charts of bottles."""

from __future__ import annotations

from typing import Any

from equipment.judging.measuring.calibration import range_of
from equipment.judging.verdicts import Problem
from equipment.models import Calibration, Tool
from equipment.tools.acts.reports import report_tool
from equipment.tools.acts.tools import NewCalibration, NewTool
from fleet.acts.repeats import USED
from fleet.house.refusals import Refused
from fleet.intake.columns import CHOICE, DAY, NUMBER
from fleet.intake.registry import Column, SheetKind
from fleet.intake.said import column_of, columns_of
from fleet.loading import lookups
from fleet.loading.batch import Batch
from fleet.loading.plain import bring_plain, recorded, refuse_differing


def bring_tools(batch: Batch) -> None:
    values: dict[str, list[Any]] = {
        name: batch[name] for name in ("code", "sort", "description", "serial_number")
    }
    values["station_id"] = lookups.stations(batch)
    values["length_mm"] = [None if mm is None else float(mm) for mm in batch["length_mm"]]
    values["measures"], values["at_least_yearly"] = batch["measures"], batch["at_least_yearly"]
    for line in batch.good:
        said = batch["measures"][line]
        why = range_of(batch["sort"][line], said) if said else None
        if isinstance(why, Problem):
            batch.refuse(line, "measures", why.code, why.sentence)
    changing = ("description", "station_id", "length_mm", "measures", "at_least_yearly")
    at = {"recorded_at": batch.bringing.at}
    bring_plain(batch, Tool, key=("code",), values=values, fixed=at, may_change=changing)


def bring_calibrations(batch: Batch) -> None:
    known = {code.upper(): key for code, key in Tool.objects.values_list("code", "pk")}
    tools = batch.found("tool", known, "tool")
    for line in batch.good:
        until, is_calibration = batch["due_on"][line], batch["sort"][line] == "calibrated"
        if is_calibration and (until is None or until < batch["done_on"][line]):
            batch.refuse(
                line,
                "due_on",
                "a_calibration_says_until_when",
                "A calibration is good until a day that is not before it. Give that day.",
            )
    reports = [line for line in batch.good if batch["sort"][line] != "calibrated"]
    fresh = [line for line in reports if _is_reported_anew(batch, line)]
    batch.know(reports)  # the act has written them
    names = ("sort", "done_on", "due_on", "certificate")
    values = {"tool_id": tools, **{name: batch[name] for name in names}}
    key = ("tool_id", "sort", "done_on")
    bring_plain(batch, Calibration, key=key, values=values, fixed=recorded(batch))
    for line in fresh:
        batch.accept(line)


def _is_reported_anew(batch: Batch, line: int) -> bool:
    """A tool found out, or dropped, is reported by the act: every value that it touched is told of."""
    tool, sort, found_on = (batch[name][line] for name in ("tool", "sort", "done_on"))
    act = batch.bringing.act_id("tool report", tool, sort, found_on)
    try:
        done = report_tool(
            by=batch.bringing.by,
            tool=tool,
            sort=sort,
            found_on=found_on,
            words=batch["certificate"][line] or dict(Calibration.SORTS)[sort],
            act_id=act,
            at=batch.bringing.at,
        )
    except Refused as refused:
        if refused.code == USED.code:
            same = Calibration.objects.filter(tool__code__iexact=tool, sort=sort, done_on=found_on)
            kept = same.values_list("certificate", flat=True).first()
            refuse_differing(batch, line, "certificate", kept)
            return False
        field = {"found_on": "done_on", "sort": "sort"}.get(refused.field or "", "tool")
        batch.refuse(line, field, refused.code, refused.message)
        return False
    if not done.is_new:
        _compare_report(batch, line, done.calibration_id)
    return done.is_new


def _compare_report(batch: Batch, line: int, calibration_id: int) -> None:
    """What another act reported of the tool that day stands: a line that says otherwise is refused."""
    kept = Calibration.objects.get(pk=calibration_id).certificate
    if batch["certificate"][line] not in (None, kept):
        refuse_differing(batch, line, "certificate", kept)


TOOLS = SheetKind(
    "Tools",
    "Torque wrenches, bonding meters, gauges: each with a code of its own.",
    40,
    "enter_tool",
    (
        *columns_of(NewTool),
        Column(
            "Length (mm)",
            "length_mm",
            NUMBER,
            meaning="Of a wrench: from the square to the middle of the grip.",
            aliases=("length",),
        ),
    ),
    bring_tools,
    [["EX-W1", "torque wrench", "Torque wrench", "W100", "QEX1", "10 to 100 in-lb", "yes", "230"]],
)

CALIBRATIONS = SheetKind(
    "Calibrations",
    "When tools were calibrated and until when that is good; a tool found out of tolerance, or dropped.",
    41,
    "record_calibration",
    (
        column_of(NewCalibration, "tool"),
        Column(
            "What",
            "sort",
            CHOICE,
            True,
            "calibrated, found out of tolerance, or dropped or abused.",
            choices=dict(Calibration.SORTS),
        ),
        column_of(NewCalibration, "done_on"),
        Column(
            "Good until",
            "due_on",
            DAY,
            meaning="The last day it is good for.",
            aliases=("due on", "due"),
        ),
        Column("Certificate", "certificate", meaning="Number of its certificate."),
    ),
    bring_calibrations,
    [["EX-W1", "calibrated", "2024-01-10", "2025-01-09", "EX-CAL-1"]],
)

SHEETS = (TOOLS, CALIBRATIONS)
