"""The charts of bottles: pressure against temperature, point by point."""

from __future__ import annotations

from collections import defaultdict
from decimal import Decimal
from typing import Any

from equipment.common import lookups
from equipment.judging.measuring.pressure import Chart, check_chart, shape_of
from equipment.models import BottleChart
from equipment.units.sheets.parts import part_columns
from fleet.intake.columns import CHOICE, CODE, DAY, NUMBER, SIGNED
from fleet.intake.registry import Column, SheetKind
from fleet.loading.acts.bring_in import bring_in_rows
from fleet.loading.batch import Batch
from fleet.loading.plain import recorded


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

SHEETS = (CHARTS,)
