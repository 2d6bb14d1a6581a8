"""The rows of the fitted list as pages show them: the ledger's own answer, one aircraft at a time."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from fleet.models import Aircraft

from .fitted import end_of_day
from .fitted import fitted as fitted_rows


@dataclass(frozen=True, slots=True)
class FittedRow:
    """A unit fitted at an aircraft position (``depth`` 0) or inside one that is.

    ``quantity`` is how many of the position's places it takes: a lot may take several.
    """

    position_id: int
    place_code: str
    depth: int
    unit_id: int
    part_number: str
    serial_number: str
    description: str
    quantity: int
    since: date


Held = dict[int, list[FittedRow]]  # by aircraft position


def by_position(rows: list[FittedRow]) -> Held:
    """The rows of each position, in their order."""
    held: Held = {}
    for row in rows:
        held.setdefault(row.position_id, []).append(row)
    return held


def fitted(aircraft_id: int, *, day: date, known_at: datetime | None) -> list[FittedRow]:
    """What was fitted at the end of a day at the aircraft's station. See :func:`fitted_at`."""
    zone = Aircraft.objects.values_list("station__time_zone", flat=True).get(pk=aircraft_id)
    return fitted_at(aircraft_id, at=end_of_day(day, zone), known_at=known_at)


def fitted_at(aircraft_id: int, *, at: datetime, known_at: datetime | None) -> list[FittedRow]:
    """Outermost units in the order of their positions, each followed by what is inside it.

    ``known_at`` None is what is known now.
    """
    return [
        FittedRow(
            position_id=row.position_id,
            place_code=row.path[-1],
            depth=row.depth,
            unit_id=row.unit_id,
            part_number=row.part_number,
            serial_number=row.serial_number,
            description=row.description,
            quantity=row.quantity,
            since=row.since_on,
        )
        for row in fitted_rows(aircraft_id, at, known_at)
    ]
