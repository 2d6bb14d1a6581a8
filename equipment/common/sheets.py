"""How the sheets of acts name a unit."""

from __future__ import annotations

from equipment.common import lookups
from fleet.intake.registry import unit_columns
from fleet.offers.sheet import Named

#: By maker, part number and serial number.
UNIT_NAMED = Named(
    columns=lambda is_needed: unit_columns(needed=is_needed),
    find=lookups.units,
    cell="serial",
)
