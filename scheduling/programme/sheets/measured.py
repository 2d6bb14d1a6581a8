"""What a clock counts, and how much of it, as a line of a sheet says them."""

from __future__ import annotations

from fleet.intake.numbers import count_of
from fleet.intake.problems import CellProblem
from fleet.loading import lookups as fleet_lookups
from fleet.loading.batch import Batch
from fleet.loading.totals import total_in_measure

CALENDAR = {"MONTHS": "months", "DAYS": "days"}


def measures_said(batch: Batch, name: str = "measure") -> list[str | None]:
    """``months``, ``days`` or the code of a measure on record."""
    known = fleet_lookups.measures_by_code(batch)
    found: list[str | None] = []
    for line, code in enumerate(batch[name]):
        found.append(CALENDAR.get(code, code if code in known else None))
        if found[-1] is None and code is not None and batch.is_good(line):
            batch.refuse_unknown(line, name, code, [*CALENDAR, *known], "measure")
    return found


def amounts_said(
    batch: Batch, measures: list[str | None], name: str = "amount"
) -> list[int | None]:
    """Amounts as their measure counts: months, days, minutes out of hours, or a count."""
    kinds = fleet_lookups.units_of_measures(batch)
    known = fleet_lookups.measures_by_code(batch)
    amounts: list[int | None] = [None] * len(batch)
    for line in batch.good:
        cell, measure = batch[name][line], measures[line]
        total = (
            total_in_measure(cell, kinds[known[measure]]) if measure in known else count_of(cell)
        )
        if isinstance(total, CellProblem):
            batch.problem(line, name, total)
        else:
            amounts[line] = total
    return amounts
