"""A bottle's chart typed on a page: its part by its number, its points one beneath the other."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal, InvalidOperation

from equipment.models import BottleChart, PartNumber
from fleet.acts.act import Act
from fleet.acts.fields import choice, day, text
from fleet.house.refusals import Refused
from fleet.models import User

from .charts import WARMTHS, EnteredChart, NewChart, enter_charts

APART = re.compile(r"[;\n]+")


@dataclass(frozen=True, slots=True)
class ChartByHand:
    """A chart as the maker prints it; each point is a temperature with a least, and a most if one is laid down."""

    part: str = text("Part number of the bottle", 40)
    revision: str = text("Revision of the chart", 24)
    document: str = text("Document", 80)
    from_on: date = day("From")
    gas: str = choice("Gas", BottleChart.GASES)
    charge: str = text("Charge", 20, hint="The pressure it is filled to, as 3000 psi or 207 bar.")
    points: str = text(
        "Points",
        4000,
        hint="A line each: temperature, least, most. The most may be left out: 70 2900 3100",
    )
    charge_at: str = text("Charged at", 20, hint="As 70 °F or 21 °C.")
    unit: str = choice("Pressures in", BottleChart.UNITS)
    temperature_unit: str = choice("Temperatures in", WARMTHS)
    maker: str = text("Maker", 40, default="", hint="Where several make this number.")


def enter_chart_by_hand(*, by: User, typed: ChartByHand, at: datetime) -> EnteredChart:
    """This will enter a chart of a bottle. Refuses as :func:`enter_charts` does, at the fields; a part that
    is not on record, or of several makers; and a line that is no point."""
    row = NewChart(
        part_number_id=_part(typed).pk,
        revision=typed.revision.strip(),
        gas=typed.gas,
        charge=typed.charge,
        points=points_typed(typed.points),
        document=typed.document.strip(),
        from_on=typed.from_on,
        charge_at=typed.charge_at,
        unit=typed.unit,
        temperature_unit=typed.temperature_unit,
    )
    [entered] = enter_charts(by=by, rows=[row], at=at)
    return entered


def points_typed(text: str) -> list[list[float | None]]:
    """The points of a text, a line (or what stands between semicolons) each; a comma or point in a number."""
    found: list[list[float | None]] = []
    for number, line in enumerate((each for each in APART.split(text) if each.strip()), start=1):
        cells = line.replace("−", "-").replace(",", ".").split()
        try:
            values = [float(Decimal(cell)) for cell in cells]
        except InvalidOperation:
            values = []
        if len(values) not in (2, 3):
            words = f"Point {number}, “{line.strip()[:40]}”, is not a temperature with a least and a most: write 70 2900 3100."
            raise Refused("not_a_point", words, "points")
        found.append([*values, *[None] * (3 - len(values))])
    return found


def _part(typed: ChartByHand) -> PartNumber:
    rows = PartNumber.objects.filter(number__iexact=typed.part.strip())
    if typed.maker.strip():
        rows = rows.filter(maker__code__iexact=typed.maker.strip())
    found = list(rows.order_by("pk")[:2])
    if not found:
        words = f"No part number “{typed.part[:40]}” is on record: enter it first."
        raise Refused("unknown_part_number", words, "part")
    if len(found) > 1:
        raise Refused(
            "maker_needed", "Several makers have this number: give the maker's code.", "maker"
        )
    return found[0]


ENTER_CHART_BY_HAND = Act(
    name="enter_chart_by_hand",
    does=enter_chart_by_hand,
    said=ChartByHand,
    as_="typed",
    who="enter_procedures",
    known_by="the part number and revision",
    tag="Procedures",
    summary="Enter a bottle's chart",
    description="Puts a chart on record: which pressure a bottle should show at which temperature.",
)
