"""What follows from dated facts and is kept as columns: positions, status and station of aircraft."""

from __future__ import annotations

import datetime as dt

from django.db import connection, transaction

from fleet.house import desks
from fleet.models import User

_MISSING_POSITIONS = """
    INSERT INTO fleet_aircraftposition (aircraft_id, type_position_id, is_active)
    SELECT aircraft.id, place.id, true
    FROM fleet_aircraft aircraft
    JOIN fleet_typeposition place ON place.aircraft_type_id = aircraft.aircraft_type_id
    WHERE NOT EXISTS (
        SELECT 1 FROM fleet_aircraftposition there
        WHERE there.aircraft_id = aircraft.id AND there.type_position_id = place.id)
"""
_LATEST = (
    """
    UPDATE fleet_aircraft aircraft SET status = latest.status
    FROM (
        SELECT DISTINCT ON (aircraft_id) aircraft_id, status FROM fleet_aircraftstatus
        WHERE from_on <= %s ORDER BY aircraft_id, from_on DESC, id DESC) latest
    WHERE latest.aircraft_id = aircraft.id AND aircraft.status <> latest.status
    """,
    """
    UPDATE fleet_aircraft aircraft SET station_id = latest.station_id
    FROM (
        SELECT DISTINCT ON (aircraft_id) aircraft_id, station_id FROM fleet_aircraftstation
        WHERE from_on <= %s ORDER BY aircraft_id, from_on DESC) latest
    WHERE latest.aircraft_id = aircraft.id AND aircraft.station_id <> latest.station_id
    """,
    """
    UPDATE fleet_aircraftposition place SET is_active = (latest.state = 'active')
    FROM (
        SELECT DISTINCT ON (position_id) position_id, state FROM fleet_positionstate
        WHERE from_on <= %s ORDER BY position_id, from_on DESC) latest
    WHERE latest.position_id = place.id AND place.is_active <> (latest.state = 'active')
    """,
)


@transaction.atomic
def give_aircraft_their_positions(*, by: User) -> int:
    """This will give every aircraft the positions of its type's layout that it lacks, and say how many."""
    desks.ask(by, "enter_fleet_data")
    with connection.cursor() as cursor:
        cursor.execute(_MISSING_POSITIONS)
        return cursor.rowcount


@transaction.atomic
def settle_latest(*, by: User, today: dt.date) -> None:
    """This will set status, station and active positions to the latest dated fact as of ``today``."""
    desks.ask(by, "enter_fleet_data")
    settle_day(today=today)


@transaction.atomic
def settle_day(*, today: dt.date) -> None:
    """This will do the same for a new day: what was recorded of it beforehand holds now. Of jobs only."""
    with connection.cursor() as cursor:
        for statement in _LATEST:
            cursor.execute(statement, [today])
