"""The charts of bottles: pressure against temperature, point by point."""

from __future__ import annotations

from collections import defaultdict
from decimal import Decimal
from typing import Any

from equipment.common import lookups
from equipment.judging.measuring.pressure import (
    REFERENCE_F,
    Chart,
    Point,
    check_chart,
    in_fahrenheit,
    plain_points,
    shape_of,
)
from equipment.judging.measuring.units import converted
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
    kept: dict[tuple[int | None, str], tuple[str, str, object]] = {
        (part, revision): (gas, unit, points)
        for part, revision, gas, unit, points in BottleChart.objects.values_list(
            "part_number", "revision", "gas", "unit", "points"
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
        elif kept.get(key) == _said(batch, of_chart):
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


def _said(batch: Batch, lines: list[int]) -> tuple[str, str, list[list[float | None]]]:
    """Gas, unit and points of a chart, as they are kept."""
    first = lines[0]
    return batch["gas"][first], _unit(batch, first), plain_points(_points(batch, lines))


def _unit(batch: Batch, line: int) -> str:
    return batch["unit"][line] or "psi"


def _points(batch: Batch, lines: list[int]) -> tuple[Point, ...]:
    """The points of a chart by rising temperature in °F, their pressures as the sheet has them."""
    found: list[Point] = []
    for line in lines:
        low, high = (_number(batch[name][line]) for name in ("least", "most"))
        warmth = _fahrenheit(batch, line, "temperature")
        assert warmth is not None  # both are needed columns
        assert low is not None
        found.append((warmth, low, high))
    return in_fahrenheit(found, "°F")


def _number(value: Any) -> Decimal | None:
    return None if value is None else Decimal(str(value))


def _fahrenheit(batch: Batch, line: int, name: str) -> Decimal | None:
    value = _number(batch[name][line])
    unit = batch["temperature_unit"][line] or "°F"
    return None if value is None else converted(value, unit, "°F", "temperature")


def _charge_at(batch: Batch, line: int) -> Decimal:
    """The temperature of the charge in °F: nought is a temperature too."""
    found = _fahrenheit(batch, line, "charge_at")
    return REFERENCE_F if found is None else found


def _look_at(batch: Batch, lines: list[int]) -> None:
    first = lines[0]
    for line in lines:
        if _unit(batch, line) != _unit(batch, first):
            words = "One chart has one unit of pressure. Write all of its points in the same."
            batch.refuse(line, "unit", "chart_units_differ", words)
            return
    chart = Chart(
        _points(batch, lines),
        batch["gas"][first],
        batch["document"][first],
        batch["revision"][first],
        _unit(batch, first),
        charge=Decimal(str(batch["charge"][first])),
        charge_at_f=_charge_at(batch, first),
    )
    for sentence in shape_of(chart):
        batch.refuse(first, "temperature", "chart_unusable", sentence)
        return
    for sentence in check_chart(chart):
        batch.warn(first, "temperature", "chart_odd", f"{sentence} Check it against the maker's.")


def _charge_psig(batch: Batch, line: int) -> float:
    charge = Decimal(str(batch["charge"][line]))
    return float(converted(charge, _unit(batch, line), "psi", "pressure"))


def _write(batch: Batch, fresh: dict[tuple[int | None, str], list[int]]) -> None:
    if not fresh:
        return
    firsts = [lines[0] for lines in fresh.values()]
    columns: dict[str, list[Any]] = {
        "part_number_id": [part for part, _ in fresh],
        "revision": [revision for _, revision in fresh],
        "gas": [batch["gas"][line] for line in firsts],
        "charge_psig": [_charge_psig(batch, line) for line in firsts],
        "charge_at_f": [float(_charge_at(batch, line)) for line in firsts],
        "unit": [_unit(batch, line) for line in firsts],
        "points": [plain_points(_points(batch, lines)) for lines in fresh.values()],
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
        Column(
            "Pressure unit",
            "unit",
            CHOICE,
            meaning="psi, bar, kPa or MPa, as the gauge shows them; blank: psi.",
            choices=dict(BottleChart.UNITS),
        ),
        Column(
            "Temperature unit",
            "temperature_unit",
            CHOICE,
            meaning="°F or °C; blank: °F.",
            choices={"°F": "°F", "°C": "°C"},
        ),
        Column(
            "Charge",
            "charge",
            NUMBER,
            True,
            "Its nominal charge.",
            ("charge (psig)", "charge psig"),
        ),
        Column(
            "Charge at",
            "charge_at",
            SIGNED,
            meaning="The temperature of that charge; blank: 70 °F.",
            aliases=("charge at (°F)",),
        ),
        Column(
            "Temperature",
            "temperature",
            SIGNED,
            True,
            "Of this point.",
            ("temperature (°F)",),
        ),
        Column(
            "Least",
            "least",
            NUMBER,
            True,
            "The least it should show there.",
            ("least (psig)", "low"),
        ),
        Column(
            "Most",
            "most",
            NUMBER,
            meaning="The most it should show there; blank: only a least is laid down.",
            aliases=("most (psig)", "high"),
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
            "psi",
            "°F",
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
            "psi",
            "°F",
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
            "psi",
            "°F",
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
