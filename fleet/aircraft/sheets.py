"""Aircraft, their dated status and station, the state of their positions, their planned checks."""

from __future__ import annotations

from collections.abc import Mapping

from fleet.aircraft.acts.checks import PlannedCheck, plan_checks, why_not_plan
from fleet.aircraft.acts.standing import give_aircraft_their_positions, settle_latest
from fleet.intake.columns import CHOICE, CODE, DAY, LIST, YES_NO
from fleet.intake.registry import Column, SheetKind
from fleet.loading import lookups
from fleet.loading.batch import Batch
from fleet.loading.plain import bring_plain, recorded
from fleet.models import (
    Aircraft,
    AircraftStation,
    AircraftStatus,
    Check,
    PositionState,
)


def bring_aircraft(batch: Batch) -> None:
    types = lookups.types(batch)
    _refuse_msn_taken(batch, types)
    values = {
        "registration": batch["registration"],
        "msn": batch["msn"],
        "aircraft_type_id": types,
        "station_id": lookups.stations(batch),
        "manufactured_on": batch["manufactured_on"],
    }
    # the dated facts move these two on, so what the sheet says of them holds for new aircraft only
    station_now = dict(Aircraft.objects.values_list("registration", "station_id"))
    values["station_id"] = [
        station_now.get(registration, station)
        for registration, station in zip(values["registration"], values["station_id"], strict=True)
    ]
    if bring_plain(
        batch, Aircraft, key=("registration",), values=values, may_change=("manufactured_on",)
    ):
        give_aircraft_their_positions(by=batch.bringing.by)


def _refuse_msn_taken(batch: Batch, types: list[int | None]) -> None:
    taken: dict[tuple[int | None, str], str] = {
        (type_id, msn): registration
        for type_id, msn, registration in Aircraft.objects.values_list(
            "aircraft_type_id", "msn", "registration"
        )
    }
    for line in batch.good:
        registration = batch["registration"][line]
        owner = taken.setdefault((types[line], batch["msn"][line]), registration)
        if owner != registration and types[line] is not None:
            batch.refuse(
                line,
                "msn",
                "one_aircraft_of_this_type_and_msn",
                f"{owner} has this MSN already. Check the MSN, or the registration.",
            )


def bring_statuses(batch: Batch) -> None:
    values = {
        "aircraft_id": lookups.aircraft(batch),
        "from_on": batch["from_on"],
        "status": batch["status"],
        "document": batch["document"],
    }
    bring_plain(
        batch, AircraftStatus, key=("aircraft_id", "from_on"), values=values, fixed=recorded(batch)
    )
    settle_latest(by=batch.bringing.by, today=batch.bringing.today)
    batch.touch(aircraft=values["aircraft_id"])


def bring_stations_of_aircraft(batch: Batch) -> None:
    values = {
        "aircraft_id": lookups.aircraft(batch),
        "from_on": batch["from_on"],
        "station_id": lookups.stations(batch),
    }
    bring_plain(
        batch, AircraftStation, key=("aircraft_id", "from_on"), values=values, fixed=recorded(batch)
    )
    settle_latest(by=batch.bringing.by, today=batch.bringing.today)
    batch.touch(aircraft=values["aircraft_id"])


def bring_position_states(batch: Batch) -> None:
    aircraft = lookups.aircraft(batch)
    values = {
        "position_id": lookups.aircraft_positions(batch, aircraft),
        "from_on": batch["from_on"],
        "state": batch["state"],
        "document": batch["document"],
    }
    bring_plain(
        batch, PositionState, key=("position_id", "from_on"), values=values, fixed=recorded(batch)
    )
    settle_latest(by=batch.bringing.by, today=batch.bringing.today)
    batch.touch(aircraft=aircraft)


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


_AIRCRAFT = Column(
    "Aircraft", "aircraft", CODE, True, "Registration.", ("registration", "reg", "tail"), most=10
)
_FROM = Column("From", "from_on", DAY, True, "From this day on.", ("from date", "date", "since"))
_STATION = Column("Station", "station", CODE, True, "Code of the station.", ("base",), most=8)

AIRCRAFT = SheetKind(
    "Aircraft",
    "The aircraft. Each has all positions of its type's layout unless 'Position states' says otherwise.",
    40,
    "enter_fleet_data",
    (
        Column(
            "Registration",
            "registration",
            CODE,
            True,
            "Registration.",
            ("reg", "tail", "aircraft"),
            most=10,
        ),
        Column(
            "MSN",
            "msn",
            CODE,
            True,
            "Manufacturer's serial number.",
            ("manufacturer's serial number", "serial number"),
            most=24,
        ),
        Column(
            "Aircraft type", "aircraft_type", CODE, True, "Code of the type.", ("type",), most=24
        ),
        Column(
            "Station",
            "station",
            CODE,
            True,
            "Station it belongs to; later changes go into 'Aircraft stations'.",
            ("base",),
            most=8,
        ),
        Column(
            "Manufactured on",
            "manufactured_on",
            DAY,
            meaning="Day of manufacture.",
            aliases=("manufactured", "date of manufacture"),
            has_come=True,
        ),
    ),
    bring_aircraft,
    [["Q-EXA", "9001", "EX-100", "QEX1", "2015-06-30"], ["Q-EXB", "9002", "EX-100", "QEX1", ""]],
    aliases=("Fleet",),
)

STATUSES = SheetKind(
    "Aircraft status",
    "From which day an aircraft is in service, parked, in check or leased out.",
    50,
    "enter_fleet_data",
    (
        _AIRCRAFT,
        _FROM,
        Column(
            "Status",
            "status",
            CHOICE,
            True,
            "in service, parked, in check or leased out.",
            choices=dict(Aircraft.STATUSES),
        ),
        Column("Document", "document", meaning="What says so."),
    ),
    bring_statuses,
    [["Q-EXA", "2015-07-10", "in service", ""], ["Q-EXB", "2026-01-15", "parked", "Order 12"]],
)

STATIONS_OF_AIRCRAFT = SheetKind(
    "Aircraft stations",
    "From which day an aircraft belongs to which station.",
    50,
    "enter_fleet_data",
    (_AIRCRAFT, _FROM, _STATION),
    bring_stations_of_aircraft,
    [["Q-EXA", "2015-07-10", "QEX1"]],
)

POSITION_STATES = SheetKind(
    "Position states",
    "From which day a position of an aircraft is active, deactivated or not there, by which document.",
    60,
    "enter_fleet_data",
    (
        _AIRCRAFT,
        Column(
            "Position", "position", CODE, True, "Code of the position.", ("position code",), most=32
        ),
        _FROM,
        Column(
            "State",
            "state",
            CHOICE,
            True,
            "active, deactivated or not on this aircraft.",
            choices=dict(PositionState.STATES),
        ),
        Column(
            "Document",
            "document",
            needed=True,
            meaning="What allows it, such as the deferral's item and revision.",
        ),
    ),
    bring_position_states,
    [["Q-EXB", "D1R", "2026-03-01", "deactivated", "Deferred item 25-60-01"]],
)

CHECKS = SheetKind(
    "Checks",
    "Planned ground times: checks and overnight stops.",
    60,
    "plan_check",
    (
        _AIRCRAFT,
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
        _STATION,
        Column(
            "Abilities", "abilities", LIST, meaning="Codes of works possible there; blank: all."
        ),
        Column("Cancelled", "is_cancelled", YES_NO, meaning="yes if it will not be held."),
    ),
    bring_checks,
    [["Q-EXA", "A07", "check", "2027-02-08", "2027-02-09", "QEX1", "", ""]],
    aliases=("Planned checks", "Check plan"),
)
