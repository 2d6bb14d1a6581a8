"""The planner's rates of use."""

from __future__ import annotations

from decimal import Decimal

from fleet.intake.columns import CODE, DAY, TOTAL
from fleet.intake.numbers import minutes_of, number_of
from fleet.intake.problems import CellProblem
from fleet.intake.registry import NAMED_AIRCRAFT, Column, SheetKind
from fleet.loading import lookups
from fleet.loading.batch import Batch
from fleet.loading.plain import bring_plain, recorded
from fleet.models import Measure, PlannedRate


def bring_rates(batch: Batch) -> None:
    measures = lookups.measures(batch)
    units = lookups.units_of_measures(batch)
    rates: list[int | None] = [None] * len(batch)
    for line in batch.good:
        in_minutes = units[measures[line]] == Measure.MINUTES  # type: ignore[index]
        number = (
            minutes_of(batch["per_day"][line]) if in_minutes else number_of(batch["per_day"][line])
        )
        if isinstance(number, CellProblem):
            batch.problem(line, "per_day", number)
        elif number is not None:
            rates[line] = int(Decimal(number) * 1000)
    values = {
        "aircraft_id": lookups.aircraft(batch),
        "measure_id": measures,
        "from_on": batch["from_on"],
        "per_day_milli": rates,
    }
    key = ("aircraft_id", "measure_id", "from_on")
    bring_plain(
        batch,
        PlannedRate,
        key=key,
        values=values,
        fixed=recorded(batch),
        may_change=("per_day_milli",),
    )
    batch.touch(aircraft=values["aircraft_id"])


RATES = SheetKind(
    "Planned rates",
    "The planner's figure for an aircraft's use per day, from a day on; it beats what the readings show.",
    70,
    "enter_fleet_data",
    (
        NAMED_AIRCRAFT,
        Column("Measure", "measure", CODE, True, "Code of the measure.", most=16),
        Column("From", "from_on", DAY, True, "From this day on.", ("from date", "date")),
        Column("Per day", "per_day", TOTAL, True, "Hours as 8:30 or 8.5, or a number."),
    ),
    bring_rates,
    [["Q-EXA", "FH", "2026-11-01", "9:40"], ["Q-EXA", "FC", "2026-11-01", "4.6"]],
    aliases=("Rates",),
)


SHEETS = (RATES,)
