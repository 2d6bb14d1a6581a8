"""Planned checks and overnight stops."""

from __future__ import annotations

from collections.abc import Mapping

from fleet.aircraft.acts.checks import PlannedCheck, plan_checks, why_not_plan
from fleet.intake.columns import CHOICE, DAY, LIST, YES_NO
from fleet.intake.registry import NAMED_AIRCRAFT, Column, SheetKind
from fleet.loading import lookups
from fleet.loading.batch import Batch
from fleet.models import Check

from .columns import STATION


def bring_checks(batch: Batch) -> None:
    aircraft, stations = lookups.aircraft(batch), lookups.stations(batch)
    rows = {
        line: PlannedCheck(
            aircraft_id=aircraft[line],  # type: ignore[arg-type]
            name=batch["name"][line],
            starts_on=batch["starts_on"][line],
            ends_on=batch["ends_on"][line],
            station_id=stations[line],  # type: ignore[arg-type]
            sort=batch["sort"][line] or Check.CHECK,
            abilities=list(batch["abilities"][line] or ()),
            is_cancelled=bool(batch["is_cancelled"][line]),
        )
        for line in batch.good
    }
    batch.know(_planned_already(rows))
    lines = batch.good
    for at, refusals in why_not_plan([rows[line] for line in lines]).items():
        for refusal in refusals:
            batch.refuse(lines[at], refusal.field, refusal.code, refusal.message)
    if good := [rows[line] for line in batch.good]:
        plan_checks(by=batch.bringing.by, rows=good)
    batch.touch()


def _planned_already(rows: Mapping[int, PlannedCheck]) -> list[int]:
    """Lines whose check is planned as they say, and lines said before in the sheet."""
    there = {
        _whole_check(check)
        for check in Check.objects.filter(aircraft__in={row.aircraft_id for row in rows.values()})
    }
    known = []
    for line, row in rows.items():
        if _whole_check(row) in there:
            known.append(line)
        there.add(_whole_check(row))
    return known


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


CHECKS = SheetKind(
    "Checks",
    "Planned ground times: checks and overnight stops.",
    60,
    "plan_check",
    (
        NAMED_AIRCRAFT,
        Column(
            "Name",
            "name",
            needed=True,
            meaning="Name of the check, such as A21.",
            aliases=("check",),
            most=40,
        ),
        Column(
            "Sort",
            "sort",
            CHOICE,
            meaning="check or overnight stop; blank: check.",
            choices=dict(Check.SORTS),
        ),
        Column("Starts on", "starts_on", DAY, True, "First day.", ("start", "from", "in")),
        Column("Ends on", "ends_on", DAY, True, "Last day.", ("end", "to", "out")),
        STATION,
        Column(
            "Abilities", "abilities", LIST, meaning="Codes of works possible there; blank: all."
        ),
        Column("Cancelled", "is_cancelled", YES_NO, meaning="yes if it will not be held."),
    ),
    bring_checks,
    [["Q-EXA", "A07", "check", "2027-02-08", "2027-02-09", "QEX1", "", ""]],
    aliases=("Planned checks", "Check plan"),
)


SHEETS = (CHECKS,)
