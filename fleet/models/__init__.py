"""The facts of the fleet. Nothing here knows what sits in a position."""

from .acts import Act
from .aircraft import (
    Aircraft,
    AircraftPosition,
    AircraftStation,
    AircraftStatus,
    PositionState,
)
from .loads import Load, LoadFile, LoadLine
from .notices import Notice
from .own_sheets import OwnMapping, OwnWorkbook
from .people import ApiToken, Authorisation, AuthorisationEnd, User
from .personnel import JobHandedOn, Operator, PersonAct, SignedIn
from .planning import Check, CheckRecord
from .types import AircraftType, Kind, Station, TypePosition
from .utilisation import Measure, PlannedRate, UtilisationReading

__all__ = [
    "Act",
    "Aircraft",
    "AircraftPosition",
    "AircraftStation",
    "AircraftStatus",
    "AircraftType",
    "ApiToken",
    "Authorisation",
    "AuthorisationEnd",
    "Check",
    "CheckRecord",
    "JobHandedOn",
    "Kind",
    "Load",
    "LoadFile",
    "LoadLine",
    "Measure",
    "Notice",
    "Operator",
    "OwnMapping",
    "OwnWorkbook",
    "PersonAct",
    "PlannedRate",
    "PositionState",
    "SignedIn",
    "Station",
    "TypePosition",
    "User",
    "UtilisationReading",
]
