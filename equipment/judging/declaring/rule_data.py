"""Reads one rule's data name by name and gathers everything that is wrong with it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal, InvalidOperation
from typing import Any, ClassVar

from equipment.judging.measuring.gas import GASES
from equipment.judging.measuring.pressure import REFERENCE_F, Chart, Point, shape_of
from equipment.judging.measuring.units import UNITS, unit_named
from equipment.judging.verdicts import Problem

MOST = Decimal("1e9")


def number_from(value: Any) -> Decimal | None:
    """A number written as a number or as text; None for anything else, and for nan and infinity."""
    if isinstance(value, bool) or not isinstance(value, int | float | str | Decimal):
        return None
    try:
        number = Decimal(str(value).strip())
    except InvalidOperation:
        return None
    return number if number.is_finite() and abs(number) <= MOST else None


class RuleData:
    """One rule being read: each name is asked for once; what nobody asked for is a mistake."""

    NOUGHT: ClassVar[Decimal] = Decimal(0)

    def __init__(self, data: Mapping[str, Any]) -> None:
        self.data = data
        self.asked: set[str] = set()
        self.problems: list[Problem] = []

    def refuse(self, name: str, code: str, sentence: str) -> None:
        self.problems.append(Problem(code, sentence, name))

    def has(self, name: str) -> bool:
        """Whether a name is there with a value."""
        self.asked.add(name)
        return self.data.get(name) not in (None, "")

    def text(self, name: str) -> str:
        value = self.data.get(name)
        if self.has(name) and isinstance(value, str) and value.strip():
            return value.strip()
        self.refuse(name, "missing", f"Say “{name}” in words.")
        return ""

    def flag(self, name: str, *, needed: bool = False) -> bool:
        value = self.data.get(name)
        self.asked.add(name)
        if (value is None and needed) or not isinstance(value, bool | None):
            self.refuse(name, "not_yes_or_no", f"“{name}” is true or false.")
        return value is True

    def number(self, name: str, *, needed: bool = False) -> Decimal | None:
        """A number of nought or more."""
        if not self.has(name):
            if needed:
                self.refuse(name, "missing", f"“{name}” is missing.")
            return None
        number = number_from(self.data[name])
        if number is None or number < 0:
            self.refuse(name, "not_a_number", f"“{name}” is a number of nought or more.")
            return None
        return number

    def whole(self, name: str) -> int | None:
        number = self.number(name)
        if number is not None and number != number.to_integral_value():
            self.refuse(name, "not_whole", f"“{name}” is a whole number.")
        return None if number is None else int(number)

    def ordered(
        self, low: str, high: str, *, needs_both: bool = False
    ) -> tuple[Decimal | None, Decimal | None]:
        """Two ends in order; one of them may be left out unless both are needed."""
        least, most = self.number(low, needed=needs_both), self.number(high, needed=needs_both)
        if least is not None and most is not None and least > most:
            self.refuse(low, "upside_down", f"“{low}” is more than “{high}”.")
        if not needs_both and not self.data.get(low) and not self.data.get(high):
            self.refuse(low, "limit_missing", f"Say “{low}”, “{high}” or both.")
        return least, most

    def unit(self, *sorts: str, usual: str | None = None) -> str:
        """A unit that measures one of these, as the house writes it; ``usual`` if it is left out."""
        value = self.data.get("unit", usual)
        self.asked.add("unit")
        for sort in sorts:
            named = unit_named(value, sort) if isinstance(value, str) else None
            if named:
                return named
        choices = ", ".join(unit for sort in sorts for unit in UNITS[sort])
        self.refuse("unit", "unit_unknown", f"The unit is one of {choices}.")
        return next(iter(UNITS[sorts[0]]))

    def chart(self, name: str, unit: str) -> Chart | None:
        """A chart inside the rule, its pressures in the rule's unit; None if there is none."""
        if not self.has(name):
            return None
        chart = chart_of(self.data[name], unit)
        if isinstance(chart, Chart):
            return chart
        self.problems += [Problem(each.code, each.sentence, name) for each in chart]
        return None

    def finished(self) -> list[Problem]:
        """Everything wrong, with the names that no rule of this sort has."""
        unknown = sorted(str(name) for name in self.data if name not in self.asked)
        return self.problems + [
            Problem("name_unknown", f"“{name}” is not part of a rule of this sort.", name)
            for name in unknown
        ]


def chart_of(data: Any, unit: str = "psi") -> Chart | list[Problem]:
    """A chart from plain data: ``points`` of [°F, least, most], ``gas``, ``document``, ``revision``.

    ``charge`` (in the chart's unit) at ``charge_at_f`` may be left out. Refuses a chart that does
    not rise or whose least is above its most; `check_chart` says what is odd beyond that.
    """
    if not isinstance(data, Mapping):
        return [Problem("not_a_chart", "A chart has points, a gas, a document and a revision.")]
    points = points_of(data.get("points"))
    if points is None:
        sentence = "A chart's points are lists of three numbers: °F, least and most."
        return [Problem("not_a_chart", sentence)]
    gas = data.get("gas", "other")
    if gas not in GASES and gas != "other":
        return [Problem("gas_unknown", f"The gas is one of {', '.join(GASES)}, other.")]
    document = str(data.get("document") or "").strip()
    if not document:
        return [Problem("chart_without_document", "Name the document that the chart is from.")]
    revision = str(data.get("revision") or "").strip()
    at_f = number_from(data.get("charge_at_f"))
    chart = Chart(
        points,
        gas,
        document,
        revision,
        unit,
        number_from(data.get("charge")),
        REFERENCE_F if at_f is None else at_f,
    )
    return [Problem("chart_shape", sentence) for sentence in shape_of(chart)] or chart


def points_of(data: Any) -> tuple[Point, ...] | None:
    """Points from lists of three numbers, of which the last may be left out; None if they are
    anything else."""
    if isinstance(data, str) or not isinstance(data, Sequence):
        return None
    points: list[Point] = []
    for row in data:
        if isinstance(row, str) or not isinstance(row, Sequence) or len(row) != 3:
            return None
        warmth, low, high = (number_from(each) for each in row)
        if warmth is None or low is None or (high is None and row[2] is not None):
            return None
        points.append((warmth, low, high))
    return tuple(points)
