"""The kinds of sheet that bring facts of the equipment."""

from __future__ import annotations

from equipment.findings.sheets import OPEN_ITEMS
from equipment.keeping.sheets.corrections import ANNULMENTS, MERGES
from equipment.keeping.sheets.movements import MOVEMENTS
from equipment.procedures.sheets.charts import CHARTS
from equipment.procedures.sheets.procedures import RULE_SETS, STEP_LISTS, STEPS
from equipment.stores.sheets import HOLDS, ORDERS, STORES_RULES, TRANSPORT
from equipment.tools.sheets import CALIBRATIONS, TOOLS
from equipment.units.sheets.fits import ALTERNATES, FITS
from equipment.units.sheets.makers import MAKERS
from equipment.units.sheets.papers import CERTIFICATES, STATEMENTS, TITLES
from equipment.units.sheets.parts import INSIDE, PART_NUMBERS, STANDARDS
from equipment.units.sheets.sightings import SIGHTINGS
from equipment.units.sheets.units import IDENTIFICATIONS, UNITS
from fleet.intake.registry import register

SHEETS = (
    MAKERS,
    PART_NUMBERS,
    STANDARDS,
    INSIDE,
    FITS,
    ALTERNATES,
    UNITS,
    IDENTIFICATIONS,
    STATEMENTS,
    TITLES,
    CERTIFICATES,
    MOVEMENTS,
    ANNULMENTS,
    MERGES,
    SIGHTINGS,
    TOOLS,
    CALIBRATIONS,
    RULE_SETS,
    STEP_LISTS,
    STEPS,
    CHARTS,
    TRANSPORT,
    STORES_RULES,
    ORDERS,
    HOLDS,
    OPEN_ITEMS,
)


def make_known() -> None:
    """This will register these kinds; called when the app is ready."""
    register(*SHEETS)
