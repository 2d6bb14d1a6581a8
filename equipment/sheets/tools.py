"""Tools with their calibrations, and the charts of bottles."""

from __future__ import annotations

from collections import defaultdict
from decimal import Decimal
from typing import Any

from equipment.actions.tools import report_tool
from equipment.judging.pressure import Chart, check_chart, shape_of
from equipment.models import BottleChart, Calibration, Tool
from fleet.actions.bring_in import bring_in_rows
from fleet.actions.repeats import USED
from fleet.intake.columns import CHOICE, CODE, DAY, NUMBER, SERIAL, SIGNED
from fleet.intake.registry import Column, SheetKind
from fleet.loading.batch import Batch
from fleet.loading.plain import bring_plain, refuse_differing
from fleet.refusals import Refused
from fleet.sheets import lookups as fleet_lookups
from fleet.sheets.aircraft import recorded

from . import lookups
from .parts import part_columns


def bring_tools(batch: Batch) -> None:
    values: dict[str, list[Any]] = {
        name: batch[name] for name in ("code", "sort", "description", "serial_number")
    }
    values["station_id"] = fleet_lookups.stations(batch)
    values["length_mm"] = [None if mm is None else float(mm) for mm in batch["length_mm"]]
    changing = ("description", "station_id", "length_mm")
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


def bring_charts(batch: Batch) -> None:
    """One line a point; the points of a part and revision are one chart, judged as a whole."""
    parts = lookups.parts(batch)
    lines: dict[tuple[int | None, str], list[int]] = defaultdict(list)
    for line in batch.good:
        lines[parts[line], batch["revision"][line]].append(line)
    kept: dict[tuple[int | None, str], tuple[str, object]] = {
        (part, revision): (gas, points)
        for part, revision, gas, points in BottleChart.objects.values_list(
            "part_number", "revision", "gas", "points"
        )
    }
    fresh: dict[tuple[int | None, str], list[int]] = {}
    for key, of_chart in lines.items():
        _look_at(batch, of_chart)
        if not all(batch.is_good(line) for line in of_chart):
            _refuse_whole(
                batch,
                of_chart,
                None,
                "chart_not_whole",
                "Another point of this chart cannot be taken. Put it right first.",
            )
        elif kept.get(key) == (batch["gas"][of_chart[0]], _points(batch, of_chart)):
            batch.know(of_chart)
        elif key in kept:
            _refuse_whole(
                batch,
                of_chart,
                "revision",
                "differs_from_record",
                "This revision of the chart is on record with other points. Bring it under its next revision.",
            )
        else:
            fresh[key] = of_chart
    _write(batch, fresh)


def _refuse_whole(batch: Batch, lines: list[int], name: str | None, code: str, words: str) -> None:
    for line in lines:
        if batch.is_good(line):
            batch.refuse(line, name, code, words)


def _points(batch: Batch, lines: list[int]) -> list[list[float]]:
    names = ("temperature_f", "least_psig", "most_psig")
    return sorted([float(batch[name][line]) for name in names] for line in lines)


def _look_at(batch: Batch, lines: list[int]) -> None:
    first = lines[0]
    points = tuple(
        (Decimal(str(t)), Decimal(str(low)), Decimal(str(high)))
        for t, low, high in _points(batch, lines)
    )
    chart = Chart(
        points,
        batch["gas"][first],
        batch["document"][first],
        batch["revision"][first],
        charge=Decimal(str(batch["charge_psig"][first])),
    )
    for sentence in shape_of(chart):
        batch.refuse(first, "temperature_f", "chart_unusable", sentence)
        return
    for sentence in check_chart(chart):
        batch.warn(first, "temperature_f", "chart_odd", f"{sentence} Check it against the maker's.")


def _write(batch: Batch, fresh: dict[tuple[int | None, str], list[int]]) -> None:
    if not fresh:
        return
    firsts = [lines[0] for lines in fresh.values()]
    columns: dict[str, list[Any]] = {
        "part_number_id": [part for part, _ in fresh],
        "revision": [revision for _, revision in fresh],
        "gas": [batch["gas"][line] for line in firsts],
        "charge_psig": [float(batch["charge_psig"][line]) for line in firsts],
        "charge_at_f": [float(batch["charge_at_f"][line] or 70) for line in firsts],
        "points": [_points(batch, lines) for lines in fresh.values()],
        "document": [batch["document"][line] for line in firsts],
        "from_on": [batch["from_on"][line] for line in firsts],
    }
    act = batch.table.kind.act
    bring_in_rows(
        by=batch.bringing.by, act=act, model=BottleChart, columns=columns, fixed=recorded(batch)
    )


TOOLS = SheetKind(
    "Tools",
    "Torque wrenches, bonding meters, gauges: each with a code of its own.",
    40,
    "enter_tool",
    (
        Column("Tool", "code", CODE, True, "Code of the tool.", ("code", "tool number"), most=24),
        Column(
            "Kind of tool",
            "sort",
            CHOICE,
            True,
            "What it measures.",
            ("sort",),
            choices=dict(Tool.SORTS),
        ),
        Column("Description", "description", needed=True, meaning="What it is."),
        Column(
            "Serial number", "serial_number", SERIAL, meaning="Its serial number.", aliases=("S/N",)
        ),
        Column("Station", "station", CODE, meaning="Where it is kept.", most=8),
        Column(
            "Length (mm)",
            "length_mm",
            NUMBER,
            meaning="Of a wrench: from the square to the middle of the grip.",
            aliases=("length",),
        ),
    ),
    bring_tools,
    [["EX-W1", "torque wrench", "Torque wrench, 10 to 100 in-lb", "W100", "QEX1", "230"]],
)

CALIBRATIONS = SheetKind(
    "Calibrations",
    "When tools were calibrated and until when that is good; a tool found out of tolerance, or dropped.",
    41,
    "record_calibration",
    (
        Column("Tool", "tool", CODE, True, "Code of the tool.", most=24),
        Column(
            "What",
            "sort",
            CHOICE,
            True,
            "calibrated, found out of tolerance, or dropped or abused.",
            choices=dict(Calibration.SORTS),
        ),
        Column("Done on", "done_on", DAY, True, "The day.", ("date",), has_come=True),
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

CHARTS = SheetKind(
    "Bottle charts",
    "The pressure that a bottle should show at a temperature: one line a point.",
    45,
    "enter_procedures",
    (
        *part_columns(),
        Column("Revision", "revision", CODE, True, "Revision of the chart.", ("rev",), most=24),
        Column(
            "Gas", "gas", CHOICE, True, "What it is charged with.", choices=dict(BottleChart.GASES)
        ),
        Column("Charge (psig)", "charge_psig", NUMBER, True, "Its nominal charge.", ("charge",)),
        Column(
            "Charge at (°F)",
            "charge_at_f",
            SIGNED,
            meaning="The temperature of that charge; blank: 70.",
        ),
        Column(
            "Temperature (°F)", "temperature_f", SIGNED, True, "Of this point.", ("temperature",)
        ),
        Column(
            "Least (psig)",
            "least_psig",
            NUMBER,
            True,
            "The least it should show there.",
            ("least", "low"),
        ),
        Column(
            "Most (psig)",
            "most_psig",
            NUMBER,
            True,
            "The most it should show there.",
            ("most", "high"),
        ),
        Column("Document", "document", needed=True, meaning="The maker's document."),
        Column("From", "from_on", DAY, True, "The first day on which it is used."),
    ),
    bring_charts,
    [
        [
            "EXMKR",
            "EX-10",
            "1",
            "nitrogen",
            "3000",
            "70",
            "32",
            "2590",
            "2790",
            "EX-CMM-10",
            "2024-01-01",
        ],
        [
            "EXMKR",
            "EX-10",
            "1",
            "nitrogen",
            "3000",
            "70",
            "70",
            "2900",
            "3100",
            "EX-CMM-10",
            "2024-01-01",
        ],
        [
            "EXMKR",
            "EX-10",
            "1",
            "nitrogen",
            "3000",
            "70",
            "100",
            "3140",
            "3340",
            "EX-CMM-10",
            "2024-01-01",
        ],
    ],
)
