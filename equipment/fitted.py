"""What was fitted where on an aircraft on a day, as the records said at an instant: plain rows."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from django.conf import settings
from django.db.models import Q, QuerySet

from .models import Stay

DEEPEST = 8


@dataclass(frozen=True, slots=True)
class FittedRow:
    """A unit fitted at an aircraft position (``depth`` 0) or inside one that is."""

    position_id: int
    place_code: str
    depth: int
    unit_id: int
    part_number: str
    serial_number: str
    description: str
    since: date


Held = dict[int, list[FittedRow]]  # by aircraft position


def by_position(rows: list[FittedRow]) -> Held:
    """The rows of each position, in their order."""
    held: Held = {}
    for row in rows:
        held.setdefault(row.position_id, []).append(row)
    return held


def fitted(aircraft_id: int, *, day: date, known_at: datetime | None) -> list[FittedRow]:
    """What was fitted at the end of a day. See :func:`fitted_at`."""
    zone = ZoneInfo(settings.GREENBAND_TODAY_ZONE)
    at = datetime.combine(day + timedelta(days=1), time(), zone) - timedelta(microseconds=1)
    return fitted_at(aircraft_id, at=at, known_at=known_at)


def fitted_at(aircraft_id: int, *, at: datetime, known_at: datetime | None) -> list[FittedRow]:
    """Outermost units in the order of their positions, each followed by what is inside it.

    ``known_at`` None is what is known now. One query a level.
    """
    stays = _stays_at(at, known_at)
    outer = list(stays.filter(place__aircraft_position__aircraft=aircraft_id))
    inner: dict[int, list[Stay]] = defaultdict(list)
    level = outer
    for _ in range(DEEPEST):
        level = list(stays.filter(place__parent_unit__in=[stay.unit_id for stay in level]))
        for stay in level:
            inner[stay.place.parent_unit_id or 0].append(stay)
        if not level:
            break
    found: list[FittedRow] = []
    for stay in outer:
        _add(found, stay, stay.place.aircraft_position_id or 0, 0, inner)
    return found


def _stays_at(at: datetime, known_at: datetime | None) -> QuerySet[Stay]:
    known = Q(known__contains=known_at) if known_at else Q(known__upper_inf=True)
    return (
        Stay.objects.filter(known, valid__contains=at)
        .select_related(
            "unit__part_number", "place__aircraft_position__type_position", "place__part_position"
        )
        .order_by("place__part_position__code", "place_id", "unit__serial_number", "pk")
    )


def _add(
    found: list[FittedRow], stay: Stay, position_id: int, depth: int, inner: dict[int, list[Stay]]
) -> None:
    of_aircraft, of_part = stay.place.aircraft_position, stay.place.part_position
    unit = stay.unit
    found.append(
        FittedRow(
            position_id=position_id,
            place_code=of_aircraft.type_position.code
            if of_aircraft
            else of_part.code
            if of_part
            else "",
            depth=depth,
            unit_id=unit.pk,
            part_number=unit.part_number.number,
            serial_number=unit.serial_number,
            description=unit.part_number.description,
            since=stay.valid.lower.date(),
        )
    )
    for child in inner[unit.pk]:
        _add(found, child, position_id, depth + 1, inner)
