"""A load of each role brings what the role may do, and refuses the other lines one by one."""

from __future__ import annotations

import pytest

from fleet.house.desks import ACTS, ADMINISTRATOR, CONTROLLER, ROLES
from fleet.intake.registry import kinds
from fleet.intake.template import template
from fleet.loading.run import load_files
from fleet.models import Aircraft

SHEETS = {kind.name: kind.act for kind in kinds()}


@pytest.fixture
def whole_template(bringing, tmp_path):
    """The template brought by a person of these roles: how many lines of each sheet, and why not."""
    path = tmp_path / "template.xlsx"
    path.write_bytes(template())

    def load(*roles: str, keep: bool = True):
        bringing.by.roles = list(roles)
        return load_files([(path, "template.xlsx")], bringing, keep=lambda result: keep)

    return load


def test_an_administrator_sets_up_fleet_and_parts_and_every_other_line_is_not_permitted(
    whole_template,
):
    result = whole_template(ADMINISTRATOR)

    for sheet in result.sheets:
        may = ADMINISTRATOR in ACTS[SHEETS[sheet.sheet]]
        codes = {found.code for found in sheet.findings}
        if may:
            # one thing hangs on a unit, and units are not the administrator's to bring
            assert codes <= {"unknown_unit"}, sheet.sheet
        else:
            assert sheet.accepted == sheet.known == 0, sheet.sheet
            assert codes == {"not_permitted"}, sheet.sheet
            assert len(sheet.findings) == sheet.refused
    assert Aircraft.objects.exists()


def test_why_a_line_is_not_permitted_names_who_may(whole_template):
    result = whole_template(ADMINISTRATOR, keep=False)

    (movements,) = [sheet for sheet in result.sheets if sheet.sheet == "Movements"]
    assert "It is open to: " in movements.findings[0].message
    assert dict(ROLES)[CONTROLLER] in movements.findings[0].message
    assert not Aircraft.objects.exists()


def test_what_is_not_on_record_has_one_code_by_every_door(bring, whole_template):
    assert whole_template(CONTROLLER, ADMINISTRATOR).is_clean
    head = [
        "Programme",
        "Limit",
        "Revision",
        "Maker",
        "Part number",
        "Serial number",
        "On",
        "Disposition",
    ]
    unit = ["EXMKR", "EX-20", "B0001", "2026-10-21", "open"]
    moved = ["Maker", "Part number", "Serial number", "Movement", "Happened on", "To", "Aircraft"]
    result = bring(
        {
            "Dispositions": [
                head,
                ["EX-MP", "EX-DIR-9", "1", *unit],
                ["EX-MP", "EX-DIR-1", "9", *unit],
            ],
            "Movements": [
                [*moved, "Position"],
                [
                    "EXMKR",
                    "EX-10",
                    "S0002",
                    "installed",
                    "2026-11-20",
                    "a position of an aircraft",
                    "Q-EXA",
                    "D9L",
                ],
            ],
        }
    )

    found = {(s.sheet, f.row): f.code for s in result.sheets for f in s.findings}
    assert found == {
        ("Dispositions", 2): "unknown_limit",
        ("Dispositions", 3): "unknown_limit",
        ("Movements", 2): "unknown_position",
    }
