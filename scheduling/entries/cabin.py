"""An aircraft type as a list of positions on its drawn cabin: what is typed of doors and positions as sheets' lines."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from typing import Any

from fleet.aircraft.sheets.layout import LAYOUT
from fleet.aircraft.sheets.types import AIRCRAFT_TYPES
from fleet.drawing.outline import door_of, place_at, plan_of, side_of
from fleet.loading.acts.lines import SheetLine
from fleet.models import AircraftType, TypePosition

#: How far one step moves a position, in centimetres: along and across.
STEP_ALONG, STEP_ACROSS = 50, 30
STEPS = {
    "forward": (-STEP_ALONG, 0),
    "aft": (STEP_ALONG, 0),
    "left": (0, -STEP_ACROSS),
    "right": (0, STEP_ACROSS),
}
MOST_OFF = 100_000


def doors_line(of_type: AircraftType, text: str) -> SheetLine:
    """The type's drawing with these doors, a name a line."""
    doors = [door_of(line) for line in text.splitlines() if line.strip()]
    plan = plan_of(doors, of_type.plan)
    cells = {"code": of_type.code, "name": of_type.name, "plan": json.dumps(plan)}
    return SheetLine(AIRCRAFT_TYPES, cells)


def doors_text(of_type: AircraftType) -> str:
    """The doors that are drawn, a name a line, as they may be typed again."""
    return "\n".join(str(door.get("name", "")) for door in of_type.plan.get("doors", []))


def position_lines(of_type: AircraftType, text: str, kind: str) -> list[SheetLine]:
    """Positions, one a line: code, then its name if it has another, set apart by a tab, comma or
    semicolon; the side is understood from either, and the place from the doors."""
    taken = list(of_type.positions.values_list("x_cm", "y_cm"))
    known = dict(of_type.positions.values_list("code", "pk"))
    found = []
    for line in text.splitlines():
        code, _, name = (
            cell.strip() for cell in re.sub(r"[;,]", "\t", line, count=1).partition("\t")
        )
        if not code or code.upper() in known:
            continue
        name = name or code
        side = side_of(name) if side_of(name) != "centre" else side_of(code)
        x, y = place_at(code, name, side, of_type.plan, taken)
        taken.append((x, y))
        cells = {
            "aircraft_type": of_type.code,
            "code": code,
            "name": name,
            "kind": kind,
            "side": side,
            "x_cm": x,
            "y_cm": y,
        }
        found.append(SheetLine(LAYOUT, cells))
    return found


def moved_line(position: TypePosition, along: int, across: int) -> SheetLine:
    """The position moved on the drawing, within it."""
    plan = position.aircraft_type.plan
    length, half = int(plan.get("length", 3000)), int(plan.get("width", 360))
    x = min(max(position.x_cm + along, 0), length)
    y = min(max(position.y_cm + across, -half), half)
    return SheetLine(LAYOUT, {**cells_of(position), "x_cm": x, "y_cm": y})


def cells_of(position: TypePosition) -> dict[str, Any]:
    """A position on record as its sheet's line."""
    return {
        "aircraft_type": position.aircraft_type.code,
        "code": position.code,
        "name": position.name,
        "kind": position.kind.code,
        "zone": position.zone,
        "access_group": position.access_group,
        "side": position.side,
        "capacity": position.capacity,
        "x_cm": position.x_cm,
        "y_cm": position.y_cm,
    }


def placed(typed: Any) -> dict[str, int]:
    """Where a position typed on its own stands: as on record, else by its door."""
    code, of_type = str(typed.get("code", "")).strip().upper(), str(typed.get("aircraft_type", ""))
    row = TypePosition.objects.filter(
        aircraft_type__code=of_type.strip().upper(), code=code
    ).first()
    if row is not None:
        return {"x_cm": row.x_cm, "y_cm": row.y_cm}
    found = AircraftType.objects.filter(code=of_type.strip().upper()).first()
    side = str(typed.get("side") or side_of(str(typed.get("name", ""))))
    others: Sequence[tuple[int, int]] = (
        list(found.positions.values_list("x_cm", "y_cm")) if found else []
    )
    x, y = place_at(code, str(typed.get("name", "")), side, found.plan if found else {}, others)
    return {"x_cm": x, "y_cm": y}
