"""Dated facts of aircraft: status, station, the state of their positions."""

from __future__ import annotations

from fleet.aircraft.acts.standing import settle_latest
from fleet.intake.columns import CHOICE, CODE
from fleet.intake.registry import NAMED_AIRCRAFT, Column, SheetKind
from fleet.loading import lookups
from fleet.loading.batch import Batch
from fleet.loading.plain import bring_plain, recorded
from fleet.models import Aircraft, AircraftStation, AircraftStatus, PositionState

from .columns import FROM, STATION


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


STATUSES = SheetKind(
    "Aircraft status",
    "From which day an aircraft is in service, parked, in check or leased out.",
    50,
    "enter_fleet_data",
    (
        NAMED_AIRCRAFT,
        FROM,
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
    (NAMED_AIRCRAFT, FROM, STATION),
    bring_stations_of_aircraft,
    [["Q-EXA", "2015-07-10", "QEX1"]],
)


POSITION_STATES = SheetKind(
    "Position states",
    "From which day a position of an aircraft is active, deactivated or not there, by which document.",
    60,
    "enter_fleet_data",
    (
        NAMED_AIRCRAFT,
        Column(
            "Position", "position", CODE, True, "Code of the position.", ("position code",), most=32
        ),
        FROM,
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


SHEETS = (STATUSES, STATIONS_OF_AIRCRAFT, POSITION_STATES)
