"""Fields that acts of the equipment share: a unit on record, a station."""

from __future__ import annotations

from typing import Any

from equipment.models import Unit
from fleet.acts.fields import coded, row
from fleet.models import Station

LOOK_UP = "Look it up by part and serial number: /api/v1/units."
UNIT_ID = "A unit's id."


def unit_row(label: str = "The unit", **more: Any) -> Any:
    """A unit on record by its id."""
    return row(label, Unit, "unit", look_up=LOOK_UP, **more)


def station_coded(label: str = "Station", **more: Any) -> Any:
    """A station by its code."""
    return coded(label, Station, "code", "station", most=8, **more)
