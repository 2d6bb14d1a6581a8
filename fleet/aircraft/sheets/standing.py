"""Dated facts of aircraft: status, station, the state of their positions."""

from __future__ import annotations

from fleet.aircraft.acts.standing import settle_latest
from fleet.aircraft.acts.statuses import why_not_leave
from fleet.intake.columns import CHOICE, CODE, YES_NO
from fleet.intake.registry import NAMED_AIRCRAFT, Column, SheetKind
from fleet.loading import lookups
from fleet.loading.batch import Batch
from fleet.loading.plain import bring_plain, recorded
from fleet.models import Aircraft, AircraftStation, AircraftStatus, PositionState

from .columns import FROM, STATION


def bring_statuses(batch: Batch) -> None:
    aircraft = lookups.aircraft(batch)
    values = {
        "aircraft_id": aircraft,
        "from_on": batch["from_on"],
        "status": batch["status"],
        "document": batch["document"],
        "replaces_id": _replaced(batch, aircraft),
    }
    _refuse_leaving(batch, aircraft)
    bring_plain(
        batch,
        AircraftStatus,
        key=("aircraft_id", "from_on", "replaces_id"),
        values=values,
        fixed=recorded(batch),
    )
    settle_latest(by=batch.bringing.by, today=batch.bringing.today)
    batch.touch(aircraft=values["aircraft_id"])


def _replaced(batch: Batch, aircraft: list[int | None]) -> list[int | None]:
    """The row that each line replaces, None of one that replaces none. A line that was on record once is
    known, whatever replaced it since."""
    rows = AircraftStatus.objects.filter(aircraft__in={one for one in aircraft if one})
    last: dict[tuple[object, object], AircraftStatus] = {}
    told: set[tuple[object, ...]] = set()
    for row in rows.order_by("pk"):
        last[row.aircraft_id, row.from_on] = row
        told.add((row.aircraft_id, row.from_on, row.status, row.document))
    replaced: list[int | None] = [None] * len(batch)
    for line in batch.good:
        stands = last.get((aircraft[line], batch["from_on"][line]))
        said = batch["status"][line], batch["document"][line] or ""
        if stands is None:
            continue
        if batch["replaces"][line]:
            if (stands.status, stands.document) == said:
                batch.know([line])
            replaced[line] = stands.pk
        elif (aircraft[line], batch["from_on"][line], *said) in told:
            batch.know([line])
    return replaced


def _refuse_leaving(batch: Batch, aircraft: list[int | None]) -> None:
    """An aircraft does not leave with a job open on it, or a record of it that waits to be reconciled. Of
    a day to come they are told: they can be ended by then."""
    status, from_on = batch["status"], batch["from_on"]
    leaving = [line for line in batch.good if status[line] == Aircraft.LEFT]
    found = why_not_leave(
        {one for line in leaving if (one := aircraft[line])}, batch.bringing.today
    )
    for line in leaving:
        why = found.get(aircraft[line] or 0)
        if why and from_on[line] <= batch.bringing.today:
            batch.refuse(line, "status", "aircraft_cannot_leave", f"{why} End that first.")
        elif why:
            batch.warn(line, "status", "aircraft_cannot_leave", f"{why} End that by then.")


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
    "From which day an aircraft is in service, parked, in check, leased out, or has left the fleet.",
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
            "in service, parked, in check, leased out or left the fleet: from then on nothing falls due on it.",
            choices=dict(Aircraft.STATUSES),
        ),
        Column("Document", "document", meaning="What says so."),
        Column(
            "Replaces",
            "replaces",
            YES_NO,
            meaning="yes where this stands instead of what is on record for that day, such as a leaving taken back.",
        ),
    ),
    bring_statuses,
    [
        ["Q-EXA", "2015-07-10", "in service", "", ""],
        ["Q-EXB", "2026-01-15", "parked", "Order 12", ""],
    ],
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
