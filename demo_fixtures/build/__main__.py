"""``python -m demo_fixtures.build``: writes every sheet of the demonstration anew, the same each time."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from demo_fixtures.copies import FOLDER

from . import (
    fleet_sheets,
    later,
    limit_sheets,
    line_sheets,
    movement_sheets,
    part_sheets,
    stores_sheets,
    unit_sheets,
)
from .gather import Gathered, gathered
from .write import write_csv, write_plan

Row = dict[str, object]


def first_sheets(whole: Gathered) -> dict[str, Sequence[Row]]:
    """What the operator brings on the first morning, by the name of its sheet."""
    crafts, book = list(whole.crafts.values()), whole.book
    return {
        "Stations": fleet_sheets.stations(),
        "Kinds": fleet_sheets.kinds(),
        "Measures": fleet_sheets.measures(),
        "Aircraft types": fleet_sheets.types(),
        "Layout positions": fleet_sheets.layout(),
        "Aircraft": fleet_sheets.aircraft(crafts),
        "Aircraft status": fleet_sheets.statuses(crafts),
        "Aircraft stations": fleet_sheets.stations_of_aircraft(crafts),
        "Readings": fleet_sheets.readings(crafts),
        "Makers": part_sheets.makers(),
        "Part numbers": part_sheets.part_numbers(),
        "Modification standards": part_sheets.standards(),
        "Positions inside": part_sheets.inside(),
        "Fits": part_sheets.fits(),
        "Alternates": part_sheets.alternates(),
        "Units": unit_sheets.units(book),
        "Movements": movement_sheets.movements(book),
        "Life statements": unit_sheets.life_statements(book),
        "Title": unit_sheets.titles(book),
        "Certificates": unit_sheets.certificates(book),
        "Works": limit_sheets.works(),
        "Programmes": limit_sheets.programmes(),
        "Programme of aircraft": limit_sheets.programmes_of_aircraft(crafts),
        "Limits": limit_sheets.limits(),
        "Clocks": limit_sheets.clocks(),
        "Amounts": limit_sheets.amounts(),
        "Works done": limit_sheets.works_done(book),
    }


def later_sheets(whole: Gathered) -> dict[str, Sequence[Row]]:
    """What was found and decided afterwards."""
    return {
        "Readings": later.readings(whole.crafts),
        "Units": later.units(),
        "Movements": later.movements(),
        "Position states": later.position_states(),
        "Identifications": later.identifications(),
        "Dispositions": later.dispositions(),
        "Extensions": later.extensions(),
        "Merges": later.merges(),
        "Sightings": later.sightings(),
        "Transport": stores_sheets.transport(),
        "Stores rules": stores_sheets.rules(),
        "Shop orders": stores_sheets.orders(whole.book),
        "Open items": later.open_items(),
    }


def line_data() -> dict[str, Sequence[Row]]:
    """What the line works by: the step lists, the rules of signing, charts, tools, authorisations."""
    return {
        "Rule sets": line_sheets.rule_sets(),
        "Step lists": line_sheets.step_lists(),
        "Steps": line_sheets.steps(),
        "Bottle charts": line_sheets.charts(),
        "Tools": line_sheets.tools(),
        "Calibrations": line_sheets.calibrations(),
        "Authorisations": line_sheets.authorisations(),
    }


def plan_sheets(whole: Gathered) -> dict[str, Sequence[Row]]:
    """The planners' workbook."""
    crafts = list(whole.crafts.values())
    return {"Checks": fleet_sheets.checks(crafts), "Planned rates": fleet_sheets.rates()}


def _emptied(folder: Path) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    for old in folder.iterdir():
        old.unlink()
    return folder


def write_all(folder: Path) -> None:
    """This will write both loads' sheets under a folder, in the place of what is there."""
    whole = gathered()
    first, afterwards = _emptied(folder / "first"), _emptied(folder / "later")
    for name, rows in first_sheets(whole).items():
        write_csv(first, name, rows)
    write_plan(first / "Plan.xlsx", "Varrowmoor Airways: check plan", plan_sheets(whole))
    for name, rows in later_sheets(whole).items():
        write_csv(afterwards, name, rows)
    line = _emptied(folder / "line")
    for name, rows in line_data().items():
        write_csv(line, name, rows)


if __name__ == "__main__":
    write_all(FOLDER / "sheets")
