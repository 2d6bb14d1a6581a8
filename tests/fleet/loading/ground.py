"""What most loads stand on, as sheets."""

from __future__ import annotations

UNIT = ["Maker", "Part number", "Serial number"]
GROUND: dict[str, list[list[object]]] = {
    "Stations": [["Code", "Name", "Time zone"], ["QST", "Quillstrand", "America/Halifax"]],
    "Kinds": [["Code", "Name"], ["SLIDE", "Door slide"], ["BOTTLE", "Bottle"]],
    "Measures": [
        ["Code", "Name", "Unit", "Counted on"],
        ["FH", "flight hours", "minutes", "the aircraft"],
        ["FC", "flight cycles", "count", "the aircraft"],
    ],
    "Aircraft types": [["Code", "Name"], ["QT-1", "Quoll 1"]],
    "Layout positions": [
        ["Aircraft type", "Position", "Name", "Kind", "X (cm)", "Y (cm)"],
        ["QT-1", "D1L", "Door 1 left", "SLIDE", 500, -170],
    ],
    "Aircraft": [
        ["Registration", "MSN", "Aircraft type", "Station"],
        ["Q-ONE", "1", "QT-1", "QST"],
    ],
    "Makers": [["Code", "Name", "Aliases"], ["QMK", "Quarrel Works", "QUARREL LTD; Q0X1"]],
    "Part numbers": [
        ["Maker", "Part number", "Description", "Kind"],
        ["QMK", "QS-1", "Slide", "SLIDE"],
        ["QMK", "QB-1", "Bottle", "BOTTLE"],
    ],
}


def units(*serials: object) -> dict[str, list[list[object]]]:
    return {"Units": [UNIT, *(["QMK", "QS-1", serial] for serial in serials)]}
