"""The charts of bottles: which pressure a bottle of a part number should show at which temperature."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db import transaction

from equipment.common.texts import lock_entering, too_long
from equipment.judging.declaring.rule_data import points_of
from equipment.judging.measuring.gas import GASES
from equipment.judging.measuring.pressure import (
    Chart,
    check_chart,
    in_fahrenheit,
    plain_points,
    shape_of,
)
from equipment.judging.measuring.quantities import read_quantity
from equipment.judging.measuring.units import converted
from equipment.judging.verdicts import Problem
from equipment.ledger.facts import RowsRefused
from equipment.models import BottleChart, PartNumber
from fleet.house.desks import ask
from fleet.house.refusals import Refusal
from fleet.models import User

MOST_POINTS = 200
WARMTHS = (("°F", "°F"), ("°C", "°C"))


@dataclass(frozen=True, slots=True)
class NewChart:
    """A chart: ``points`` of [temperature, least, most] in these units, most None where only a least
    is laid down; ``charge`` and its temperature as typed."""

    part_number_id: int
    revision: str
    gas: str
    charge: str
    points: Sequence[Any]
    document: str
    from_on: date
    charge_at: str = "70 °F"
    unit: str = "psi"
    temperature_unit: str = "°F"


@dataclass(frozen=True, slots=True)
class EnteredChart:
    """What became of a chart; ``odd`` tells which points the gas itself would not show."""

    id: int
    is_new: bool
    odd: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Read:
    """A chart as it was understood."""

    chart: Chart
    charge_psig: float
    charge_at_f: float

    @property
    def points(self) -> list[list[float | None]]:
        return plain_points(self.chart.points)


@transaction.atomic
def enter_charts(*, by: User, rows: Sequence[NewChart], at: datetime) -> list[EnteredChart]:
    """This will enter charts of bottles and say what is odd about them; the same again changes nothing.

    A point that the gas would not show is kept, and told. Refuses (:class:`RowsRefused`) points
    that do not rise or whose least is above their most, an unknown gas or part number, and a
    revision that is on record with other contents.
    """
    ask(by, "enter_procedures")
    lock_entering("charts")
    wrong: dict[int, list[Refusal]] = {}
    read: list[_Read] = []
    for place, row in enumerate(rows):
        found = _read(row)
        if isinstance(found, list):
            wrong[place] = found
        else:
            read.append(found)
    if wrong:
        raise RowsRefused(wrong)
    return [
        _entered(place, row, each, by, at)
        for place, (row, each) in enumerate(zip(rows, read, strict=True))
    ]


def _read(row: NewChart) -> _Read | list[Refusal]:
    lengths = {"revision": 24, "document": 80}
    found = too_long(row, lengths, needed=tuple(lengths))
    if not PartNumber.objects.filter(pk=row.part_number_id).exists():
        words = "There is no such part number: enter it first."
        found.append(Refusal("unknown_part_number", words, "part_number"))
    if row.gas not in GASES and row.gas != "other":
        words = f"The gas is one of {', '.join(GASES)}, other."
        found.append(Refusal("gas_unknown", words, "gas"))
    if row.unit not in dict(BottleChart.UNITS) or row.temperature_unit not in dict(WARMTHS):
        words = f"Pressures are in {', '.join(dict(BottleChart.UNITS))}, temperatures in °F or °C."
        found.append(Refusal("unit_unknown", words, "unit"))
        return found
    charge = read_quantity(row.charge, row.unit, expected="psi")
    warmth = read_quantity(row.charge_at, row.temperature_unit, expected="°F")
    found += [
        each.as_refusal(name)
        for each, name in ((charge, "charge"), (warmth, "charge_at"))
        if isinstance(each, Problem)
    ]
    points = points_of(row.points) if len(row.points) <= MOST_POINTS else None
    if points is None:
        words = (
            "The points are lists of three numbers (temperature, least, most; the most may be left "
            f"out), at most {MOST_POINTS}."
        )
        found.append(Refusal("not_a_chart", words, "points"))
    if found or points is None or isinstance(charge, Problem) or isinstance(warmth, Problem):
        return found
    chart = Chart(
        in_fahrenheit(points, row.temperature_unit),
        row.gas,
        row.document,
        row.revision,
        row.unit,
        charge=converted(charge.value, "psi", row.unit, "pressure"),
        charge_at_f=warmth.value,
    )
    shape = [Refusal("chart_shape", each, "points") for each in shape_of(chart)]
    return shape or _Read(chart, float(charge.value), float(warmth.value))


def _entered(place: int, row: NewChart, read: _Read, by: User, at: datetime) -> EnteredChart:
    odd = tuple(check_chart(read.chart))
    said = {
        "gas": row.gas,
        "charge_psig": read.charge_psig,
        "charge_at_f": read.charge_at_f,
        "unit": row.unit,
        "points": read.points,
        "document": row.document,
        "from_on": row.from_on,
    }
    known = BottleChart.objects.filter(
        part_number=row.part_number_id, revision=row.revision
    ).first()
    if known is None:
        made = BottleChart.objects.create(
            part_number_id=row.part_number_id,
            revision=row.revision,
            **said,
            recorded_at=at,
            recorded_by=by,
        )
        return EnteredChart(made.pk, True, odd)
    if any(getattr(known, name) != value for name, value in said.items()):
        words = "This revision of the chart is on record with other contents: give it its next."
        raise RowsRefused({place: [Refusal("chart_on_record", words, "revision")]})
    return EnteredChart(known.pk, False, odd)
