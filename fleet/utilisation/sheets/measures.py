"""What is counted."""

from __future__ import annotations

from fleet.intake.columns import CHOICE, CODE
from fleet.intake.registry import Column, SheetKind
from fleet.loading.batch import Batch
from fleet.loading.plain import bring_plain
from fleet.models import Measure


def bring_measures(batch: Batch) -> None:
    fields = ("code", "name", "unit", "counted_on", "counts")
    bring_plain(
        batch,
        Measure,
        key=("code",),
        values={name: batch[name] for name in fields},
        may_change=("name", "counts"),
    )


MEASURES = SheetKind(
    "Measures",
    "What is counted. FH (flight hours) and FC (flight cycles) are those of the columns 'Hours' and 'Cycles'.",
    10,
    "enter_fleet_data",
    (
        Column("Code", "code", CODE, True, "Short code.", ("measure",), most=16),
        Column("Name", "name", needed=True, meaning="Its name.", most=40),
        Column(
            "Unit",
            "unit",
            CHOICE,
            True,
            "minutes for hours of any sort, else count.",
            choices={"minutes": "minutes", "count": "count"},
        ),
        Column(
            "Counted on",
            "counted_on",
            CHOICE,
            True,
            "the aircraft or the unit.",
            choices={"aircraft": "the aircraft", "unit": "the unit"},
        ),
        Column(
            "Counts",
            "counts",
            CHOICE,
            meaning="fillings or inflations, if each one recorded adds one.",
            choices={"filling": "fillings", "inflation": "inflations"},
        ),
    ),
    bring_measures,
    [
        ["FH", "flight hours", "minutes", "the aircraft"],
        ["FC", "flight cycles", "count", "the aircraft"],
        ["FILL", "fillings", "count", "the unit", "fillings"],
    ],
)


SHEETS = (MEASURES,)
