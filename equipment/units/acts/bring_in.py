"""What follows from dated facts of units that were brought in, and is kept as columns."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from django.db import connection, transaction

from equipment.keeping.derive import raise_stamps
from fleet.house import desks
from fleet.models import User

_PRESENT = """
    UPDATE equipment_unit unit
    SET part_number_id = latest.part_number_id, standard_id = latest.standard_id
    FROM (
        SELECT DISTINCT ON (unit_id) unit_id, part_number_id, standard_id
        FROM equipment_identification
        WHERE from_on <= %s ORDER BY unit_id, from_on DESC) latest
    WHERE latest.unit_id = unit.id
      AND (unit.part_number_id, unit.standard_id)
          IS DISTINCT FROM (latest.part_number_id, latest.standard_id)
"""


@transaction.atomic
def settle_identifications(*, by: User, today: dt.date) -> int:
    """This will set each unit's present part number and standard to its latest identification as of
    ``today``, and say how many units changed."""
    desks.ask(by, "enter_part_data")
    with connection.cursor() as cursor:
        cursor.execute(_PRESENT, [today])
        return cursor.rowcount


@transaction.atomic
def tell_of_units(*, by: User, unit_ids: Iterable[int | None]) -> None:
    """This will tell that facts of these units were brought in, so that their due items follow."""
    desks.ask(by, "load_sheets")
    if known := {unit for unit in unit_ids if unit is not None}:
        raise_stamps(known)
