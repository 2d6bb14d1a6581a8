"""Sheets of cylinders: what specifications ask, and which part numbers are cylinders of them."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from equipment.common import lookups
from equipment.models import CylinderDesign, CylinderSpecification
from fleet.intake.columns import CODE, COUNT, NUMBER
from fleet.intake.registry import Column, SheetKind
from fleet.loading.batch import Batch
from fleet.loading.plain import bring_plain, recorded

from .parts import part_columns

_SHARE = "not_a_share"


def bring_specifications(batch: Batch) -> None:
    shares = [_share(batch, line, said) for line, said in enumerate(batch["times"])]
    percents = batch["most_permanent_percent"]
    values: dict[str, list[Any]] = {
        name: batch[name] for name in ("code", "document", "period_months", "least_test_psig")
    }
    values |= {
        "times_over": [share[0] if share else None for share in shares],
        "times_under": [share[1] if share else None for share in shares],
        "most_permanent_percent": [Decimal(10) if p is None else Decimal(str(p)) for p in percents],
    }
    bring_plain(batch, CylinderSpecification, key=("code",), values=values, fixed=recorded(batch))


def _share(batch: Batch, line: int, said: str | None) -> tuple[int, int] | None:
    """``5/3`` or ``2`` times the service pressure."""
    if not said:
        return None
    over, _, under = said.replace(" ", "").partition("/")
    if not (over.isdecimal() and (under or "1").isdecimal() and int(over) and int(under or 1)):
        if batch.is_good(line):
            words = f"'{said}' is no share of the service pressure. Write 5/3 or 2."
            batch.refuse(line, "times", _SHARE, words)
        return None
    return int(over), int(under or 1)


def bring_cylinders(batch: Batch) -> None:
    rows = CylinderSpecification.objects.values_list("code", "pk")
    known = {code.upper(): key for code, key in rows}
    names = ("service_psig", "diameter_mm", "length_mm")
    values: dict[str, list[Any]] = {
        "part_number_id": lookups.parts(batch),
        "specification_id": batch.found("specification", known, "specification"),
        **{name: batch[name] for name in names},
    }
    bring_plain(batch, CylinderDesign, key=("part_number_id",), values=values, may_change=names)


SPECIFICATIONS = SheetKind(
    "Cylinder specifications",
    "What a specification or special permit asks: how often, at which pressure, how much expansion.",
    31,
    "enter_part_data",
    (
        Column(
            "Specification", "code", CODE, True, "Its code, as stamped.", ("spec", "code"), most=24
        ),
        Column("Document", "document", needed=True, meaning="The rule or permit.", most=80),
        Column("Period (months)", "period_months", COUNT, meaning="Blank: no periodic test."),
        Column(
            "Test pressure (times)",
            "times",
            meaning="Times the service pressure: 5/3 or 2.",
            aliases=("times",),
            most=12,
        ),
        Column("Least test (psig)", "least_test_psig", NUMBER, meaning="In any case at least."),
        Column(
            "Permanent expansion (%)",
            "most_permanent_percent",
            NUMBER,
            meaning="The most, in per cent of the total; blank: 10.",
        ),
    ),
    bring_specifications,
    [["3HT", "49 CFR 180.209", "36", "5/3", "", "10"]],
)
CYLINDERS = SheetKind(
    "Cylinders",
    "Which part numbers are cylinders: of which specification, service pressure and size.",
    32,
    "enter_part_data",
    (
        *part_columns(),
        Column("Specification", "specification", CODE, True, "Its code.", ("spec",), most=24),
        Column("Service pressure (psig)", "service_psig", NUMBER, True, "As marked."),
        Column("Diameter (mm)", "diameter_mm", NUMBER, meaning="Outside."),
        Column("Length (mm)", "length_mm", NUMBER, meaning="Of the cylinder."),
    ),
    bring_cylinders,
    [["EXMKR", "EX-20", "3HT", "1850", "114", "560"]],
)

SHEETS = (SPECIFICATIONS, CYLINDERS)
