"""Cylinders whose specification asks for a periodic test, and which no limit of a programme covers.

Which of a specification's periods holds (49 CFR 180.209 Table 1 has 5, 10 or 12 years for one) is the
programme's to say, so none is guessed here as a limit: that there is none is said, and until it is
there the test is unknown, so that the cylinder is not filled, and is handed over by a named decision.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from datetime import date

import numpy as np

from equipment.common.wording import unit_words
from equipment.models import CylinderDesign, Requalification, Unit
from fleet.words.said import day_words
from scheduling.engine.basis.months import add_months, month_end
from scheduling.facts.items import UNIT, subject_of
from scheduling.models import DueItem, Limit

from .of_units import reckoned

COVERS = "until_emptied"


def uncovered(unit_ids: Collection[int], on: date) -> dict[int, str]:
    """What is said of each of these units that is such a cylinder, by its key; the others are missing.

    Few questions for any number of units: those that stored due items show to be covered are, and only
    the rest is reckoned.
    """
    designs = CylinderDesign.objects.filter(specification__period_months__isnull=False)
    parts = {each.part_number_id: each for each in designs.select_related("specification")}
    if not parts:
        return {}
    rows = Unit.objects.filter(pk__in=unit_ids, part_number__in=parts, merged_into=None)
    cylinders = {unit.pk: unit for unit in rows.select_related("part_number")}
    limits = set(Limit.objects.filter(clocks__runs_out=COVERS).values_list("pk", flat=True))
    stored = DueItem.objects.filter(unit__in=cylinders, limit__in=limits)
    left = sorted(set(cylinders) - set(stored.values_list("unit_id", flat=True)))
    if not left:
        return {}
    covered = {
        item.unit_id
        for item in reckoned(left, on)
        if item.limit_id in limits and subject_of(item.id)[2] == UNIT
    }
    tested = _last_tests(left)
    return {
        key: _sentence(cylinders[key], parts[cylinders[key].part_number_id], tested.get(key))
        for key in left
        if key not in covered
    }


def uncovered_in_all(on: date) -> dict[int, str]:
    """The same of every unit on record that is not gone."""
    units = Unit.objects.filter(part_number__cylinder__isnull=False, merged_into=None)
    return uncovered(list(units.exclude(place__sort="gone").values_list("pk", flat=True)), on)


def _last_tests(units: Iterable[int]) -> Mapping[int, date]:
    """The month of the last passed requalification on record of each unit."""
    rows = Requalification.objects.filter(unit__in=list(units), verdict="in")
    return dict(rows.order_by("done_on", "pk").values_list("unit", "done_on"))


def _sentence(unit: Unit, design: CylinderDesign, tested: date | None) -> str:
    """``HS-1 S/N 7 is a 3AA cylinder, and no limit of a programme covers its periodic test …``"""
    specification = design.specification
    months = specification.period_months or 0
    began, since = (
        (tested, "its last test on record") if tested else (unit.manufactured_on, "its manufacture")
    )
    aid = ""
    if began is not None:
        aid = f" Counted from {since} that would be {day_words(_good_through(began, months))}."
    return (
        f"{unit_words(unit)} is a {specification.code} cylinder, and no limit of a programme covers its "
        f"periodic test: {specification.document} has {months} months.{aid} Enter the limit."
    )


def _good_through(began: date, months: int) -> date:
    """The last day of the month that lies so many months after (180.205(c): by month and year)."""
    day: date = month_end(add_months(np.array([began], "datetime64[D]"), months))[0].item()
    return day
