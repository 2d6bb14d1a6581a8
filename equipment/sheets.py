"""The kinds of sheet that bring facts of the equipment."""

from __future__ import annotations

from equipment.complement import sheets as complement
from equipment.findings import sheets as findings
from equipment.keeping.sheets import corrections, movements
from equipment.leaving import sheets as leaving
from equipment.procedures.sheets import charts, rule_sets, step_lists, steps
from equipment.stores import sheets as stores
from equipment.tools import sheets as tools
from equipment.units.sheets import cylinders, fits, makers, papers, parts, sightings, units
from fleet.intake.registry import register
from fleet.offers.offer import sheet_kinds

from .offers import OFFERS

SHEETS = (
    *makers.SHEETS,
    *parts.SHEETS,
    *cylinders.SHEETS,
    *fits.SHEETS,
    *units.SHEETS,
    *papers.SHEETS,
    *movements.SHEETS,
    *corrections.SHEETS,
    *sightings.SHEETS,
    *tools.SHEETS,
    *rule_sets.SHEETS,
    *step_lists.SHEETS,
    *steps.SHEETS,
    *charts.SHEETS,
    *stores.SHEETS,
    *leaving.SHEETS,
    *sheet_kinds(OFFERS),
    *findings.SHEETS,
    *complement.SHEETS,
)


def make_known() -> None:
    """This will register these kinds; called when the app is ready."""
    register(*SHEETS)
