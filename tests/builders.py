"""An invented operator built through the acts: what tests of every app stand on.

``a_…`` makes one of a thing with whatever it needs; names and numbers are invented and unique.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime
from typing import Any
from uuid import UUID, uuid4

from django.db import transaction

from equipment.keeping.record import record_movements
from equipment.ledger.facts import MovementFact, PlaceAt, Recorded, UnitFact, When
from equipment.models import Fit, Maker, PartNumber, PartPosition, Unit
from equipment.units.acts.units import enter_units
from fleet.models import (
    Aircraft,
    AircraftPosition,
    AircraftType,
    Kind,
    Measure,
    Station,
    TypePosition,
    User,
)

#: When tests' facts are recorded unless they say so.
NOW = datetime(2027, 6, 1, 12, tzinfo=UTC)

_numbers = itertools.count(1)


@contextmanager
def undone() -> Iterator[None]:
    """What happens inside did not happen: whoever comes next meets the same stage."""
    with transaction.atomic():
        yield
        transaction.set_rollback(True)


def day(text: str) -> date:
    """``day("2027-03-03")``."""
    return date.fromisoformat(text)


def instant(text: str) -> datetime:
    """``instant("2027-03-03 14:05")``, in UTC."""
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


def on(text: str, zone: str = "UTC") -> When:
    """A day alone, or an instant if the text has a time."""
    if ":" in text:
        return When(instant(text), "instant", zone)
    return When.on(day(text), zone)


# --- people -----------------------------------------------------------------------------------


def a_person(*roles: str) -> User:
    number = next(_numbers)
    return User.objects.create(username=f"person{number}", roles=list(roles or ("controller",)))


# --- fleet ------------------------------------------------------------------------------------


def a_station(code: str = "", zone: str = "UTC") -> Station:
    code = code or f"ST{next(_numbers)}"
    return Station.objects.create(code=code, name=f"Station {code}", time_zone=zone)


def a_kind(code: str = "") -> Kind:
    """A kind by its code; without one the kind of whatever is not told, so that it fits anywhere."""
    code = code or "equipment"
    return Kind.objects.get_or_create(code=code, defaults={"name": code})[0]


def an_aircraft_type(*positions: str, capacity: int = 1, kind: Kind | None = None) -> AircraftType:
    made = AircraftType.objects.create(code=f"TERN-{next(_numbers)}", name="Tern")
    for code in positions or ("D1L-SLIDE",):
        TypePosition.objects.create(
            aircraft_type=made,
            code=code,
            name=code,
            kind=kind or a_kind(),
            capacity=capacity,
            x_cm=100,
            y_cm=-100,
        )
    return made


def an_aircraft(
    *positions: str,
    capacity: int = 1,
    of_type: AircraftType | None = None,
    station: Station | None = None,
    msn: str = "",
) -> Aircraft:
    """An aircraft with all positions of its type, of a new type with these positions unless one is given."""
    number = next(_numbers)
    of_type = of_type or an_aircraft_type(*positions, capacity=capacity)
    made = Aircraft.objects.create(
        registration=f"Q-{number}",
        msn=msn or str(1000 + number),
        aircraft_type=of_type,
        station=station or a_station(),
    )
    for position in of_type.positions.order_by("pk"):
        AircraftPosition.objects.create(aircraft=made, type_position=position)
    return made


def the_hours() -> Measure:
    return Measure.objects.get_or_create(
        code="hours", defaults={"name": "Flight hours", "unit": "minutes", "counted_on": "aircraft"}
    )[0]


# --- equipment --------------------------------------------------------------------------------


def a_part(
    number: str = "",
    *inner: str,
    capacity: int = 1,
    removed: str = "line",
    kind: Kind | None = None,
    **more: Any,
) -> PartNumber:
    """A part number with positions inside it, if they are named."""
    made = PartNumber.objects.create(
        maker=Maker.objects.get_or_create(code="HALY", defaults={"name": "Halyard Survival"})[0],
        number=number or f"HS-{next(_numbers)}",
        description="Slide",
        kind=kind or a_kind(),
        removed=removed,
        **more,
    )
    for code in inner:
        PartPosition.objects.create(
            part_number=made, code=code, name=code, kind=a_kind(), capacity=capacity
        )
    return made


def a_fit(part: PartNumber, aircraft: Aircraft, position: str, **more: Any) -> Fit:
    type_position = aircraft.aircraft_type.positions.get(code=position)
    return Fit.objects.create(part_number=part, type_position=type_position, **more)


def a_unit(part: PartNumber | None = None, *, by: User | None = None, **more: Any) -> Unit:
    """A unit that is nowhere yet."""
    more.setdefault("serial_number", f"S{next(_numbers)}")
    fact = UnitFact(original_part_id=(part or a_part()).pk, **more)
    (made,) = enter_units(by=by or a_person("controller"), rows=[fact], at=NOW)
    return Unit.objects.get(pk=made.id)


# --- places -----------------------------------------------------------------------------------


def at_position(aircraft: Aircraft, code: str = "D1L-SLIDE") -> PlaceAt:
    found = AircraftPosition.objects.get(aircraft=aircraft, type_position__code=code)
    return PlaceAt("aircraft", aircraft_position_id=found.pk)


def inside(unit: Unit, code: str = "LIGHT") -> PlaceAt:
    found = PartPosition.objects.get(part_number=unit.original_part_id, code=code)
    return PlaceAt("inside", parent_unit_id=unit.pk, part_position_id=found.pk)


def in_store(station: Station) -> PlaceAt:
    return PlaceAt("store", station_id=station.pk)


def in_quarantine(station: Station) -> PlaceAt:
    return PlaceAt("quarantine", station_id=station.pk)


SHOP = PlaceAt("shop", name="Lee Shore Overhaul")
SCRAPPED = PlaceAt("gone", name="scrapped")


# --- movements --------------------------------------------------------------------------------


def moved(
    unit: Unit,
    sort: str,
    to: int | PlaceAt,
    when: str,
    *,
    by: User | None = None,
    act_id: UUID | None = None,
    at: datetime = NOW,
    is_strict: bool = False,
    **more: Any,
) -> Recorded:
    """One movement recorded at ``at``, as a person does unless it ``is_strict``."""
    fact = MovementFact(unit.pk, sort, to, on(when), **more)
    (done,) = record_movements(
        by=by or a_person("controller"),
        rows=[fact],
        act_id=act_id or uuid4(),
        at=at,
        is_strict=is_strict,
    )
    return done


def installed(unit: Unit, to: int | PlaceAt, when: str, **more: Any) -> Recorded:
    return moved(unit, "installed", to, when, **more)


def removed(unit: Unit, to: int | PlaceAt, when: str, **more: Any) -> Recorded:
    return moved(unit, "removed", to, when, **more)
