"""Planned checks and overnight stops."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping

from fleet.aircraft.acts.checks import PlannedCheck, plan_checks, why_not_plan
from fleet.intake.registry import NAMED_AIRCRAFT, SheetKind
from fleet.intake.said import column_of, said_on
from fleet.loading import lookups
from fleet.loading.batch import Batch
from fleet.models import Check


def bring_checks(batch: Batch) -> None:
    aircraft, stations = lookups.aircraft(batch), lookups.stations(batch)
    rows = {
        line: said_on(
            PlannedCheck, batch.line(line), aircraft_id=aircraft[line], station_id=stations[line]
        )
        for line in batch.good
    }
    batch.know(_planned_already(rows))
    lines, today = batch.good, batch.bringing.today
    for at, refusals in why_not_plan([rows[line] for line in lines], today).items():
        for refusal in refusals:
            batch.refuse(lines[at], refusal.field, refusal.code, refusal.message)
    if good := [rows[line] for line in batch.good]:
        plan_checks(by=batch.bringing.by, rows=good, today=today, at=batch.bringing.at)
    batch.touch()


def _planned_already(rows: Mapping[int, PlannedCheck]) -> list[int]:
    """Lines whose check is planned as they say, and lines said before in the sheet. A slot and people that a
    line does not say are as they are."""
    there: dict[tuple[object, ...], list[Check | PlannedCheck]] = defaultdict(list)
    for check in Check.objects.filter(aircraft__in={row.aircraft_id for row in rows.values()}):
        there[_whole_check(check)].append(check)
    known = []
    for line, row in rows.items():
        if any(_is_in_slot(row, each) for each in there[_whole_check(row)]):
            known.append(line)
        there[_whole_check(row)].append(row)
    return known


def _is_in_slot(row: PlannedCheck, other: Check | PlannedCheck) -> bool:
    return row.slot in (None, other.slot) and row.people in (None, other.people)


def _whole_check(check: Check | PlannedCheck) -> tuple[object, ...]:
    return (
        check.aircraft_id,
        check.name,
        check.starts_on,
        check.ends_on,
        check.station_id,
        check.sort,
        tuple(check.abilities),
        check.is_cancelled,
    )


#: In the order of the sheet.
SAID = (
    "name",
    "sort",
    "starts_on",
    "ends_on",
    "station",
    "abilities",
    "is_cancelled",
    "slot",
    "people",
)

CHECKS = SheetKind(
    "Checks",
    "Planned ground times: checks and overnight stops.",
    60,
    "plan_check",
    (
        NAMED_AIRCRAFT,
        *(column_of(PlannedCheck, name) for name in SAID),
    ),
    bring_checks,
    [["Q-EXA", "A07", "check", "2027-02-08", "2027-02-09", "QEX1", "", "", "", ""]],
    aliases=("Planned checks", "Check plan"),
)


SHEETS = (CHECKS,)
