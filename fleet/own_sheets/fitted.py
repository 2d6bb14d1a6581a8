"""Where a unit is: its aircraft, the position there, and the movement that says so."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence

from fleet.intake.problems import CellProblem
from fleet.intake.stamps import Stamp

from .gathered import PROGRAMME, Lines, station_code, type_of
from .said import word_key
from .totals import at_works
from .unit import Seen
from .words.places import Place

INSTALLED, RECEIVED, REMOVED = "installed", "received", "removed"
#: Said of a movement of which the sheet gives no day.
BEFORE = "As in the operator's own sheet: there on or before this day"
#: How many units a position holds, by aircraft type, place and kind.
Room = Mapping[tuple[str, str, str], int]


def position_code(place: Place, kind: str) -> str:
    """One place takes units of several kinds; its code is not longer than the record takes."""
    code = f"{place.code}-{kind}"
    if len(code) <= 32:
        return code
    return f"{code[:27]}-{hashlib.sha256(code.encode()).hexdigest()[:4].upper()}"


def room_in(seen: Sequence[Seen], lines: Lines) -> dict[tuple[str, str, str], int]:
    """How many units the sheets have in one position of an aircraft type, at most on one aircraft."""
    counts: dict[tuple[str, str, str, str], set[tuple[str, str]]] = {}
    for one in seen:
        if one.aircraft and not one.is_spare:
            place, kind = (
                lines.house.place(one.place, lines.said),
                lines.house.kind(one.item, lines.said)[0],
            )
            type_code = type_of(one.aircraft, one, lines.house, lines.said)
            counts.setdefault((one.aircraft, type_code, place.code, kind), set()).add(one.key)
    room: dict[tuple[str, str, str], int] = {}
    for (_, type_code, place_code, kind), units in counts.items():
        key = (type_code, place_code, kind)
        room[key] = max(room.get(key, 1), len(units))
    return room


def put_in_place(lines: Lines, one: Seen, unit: dict[str, object], kind: str, room: Room) -> None:
    """This will say where a unit is, unless it stands there on record already.

    One that is on another place of an aircraft on record came off there: all that come off do so
    before any goes on, so that two may change places.
    """
    fitted = one.fitted if isinstance(one.fitted, Stamp | CellProblem) else None
    moved: dict[str, object] = {**unit, "happened_on": fitted or Stamp(lines.day, "day")}
    if fitted is None:
        moved |= {"is_by": "yes", "reason": BEFORE}
    before = lines.record.places.get((str(unit["part"]), one.serial.upper()), ("", ""))
    to_store = {"sort": RECEIVED, "to": "store", "station": station_code(lines.house, lines.said)}
    came_off = {**moved, **to_store, "sort": REMOVED, "order": "1"}
    if one.is_spare or not one.aircraft:
        if before != ("", to_store["station"]):
            lines.add(
                "Movements", one.key, one.at, came_off if before[0] else moved | to_store, **_ROLES
            )
        return
    code = _of_aircraft(lines, one, kind, room)
    if before == (one.aircraft, code):
        return
    goes_on: dict[str, object] = {
        "sort": INSTALLED,
        "to": "aircraft",
        "aircraft": one.aircraft,
        "position": code,
    }
    if before[0]:
        lines.add("Movements off", [*one.key, REMOVED], one.at, came_off, **_ROLES)
        goes_on["order"] = "2"
    if fitted is None and not before[0]:
        goes_on |= _counted_since(one, lines)
    lines.add("Movements", one.key, one.at, moved | goes_on, **_ROLES)


def _counted_since(one: Seen, lines: Lines) -> dict[str, object]:
    """The day of a unit's first work that is counted by the aircraft's totals, and those totals: it was there then."""
    works = at_works(one)
    by = min(works, default=lines.day)
    if by >= lines.day:
        return {}
    names = {"hours": "minutes", "cycles": "cycles"}
    return {
        "happened_on": Stamp(by, "day"),
        **{names[name]: total for name, total in works[by].items()},
    }


def stands_empty(lines: Lines, one: Seen, kind: str, room: Room) -> None:
    """This will say the position of a unit that nobody can name: it is there, with nothing recorded."""
    _of_aircraft(lines, one, kind, room)


_ROLES = {
    "part": "part",
    "serial": "serial",
    "happened_on": "fitted",
    "aircraft": "aircraft",
    "position": "position",
}


def _of_aircraft(lines: Lines, one: Seen, kind: str, room: Room) -> str:
    """The code of a unit's position, with its aircraft, type and position said where they are new."""
    house, said = lines.house, lines.said
    type_code = type_of(one.aircraft, one, house, said)
    if type_code and type_code not in house.types:
        named: dict[str, object] = {"code": type_code, "name": one.type or type_code}
        lines.add("Aircraft types", [type_code], one.at, named, code="type")
    if one.aircraft not in house.aircraft:
        _add_aircraft(lines, one, type_code)
    place = house.place(one.place, said)
    if known := house.position(type_code, place, kind, word_key(one.place)):
        return known.code
    code = position_code(place, kind)
    if (type_code, code) in lines.positions or house.has_position(type_code, code, kind):
        return code
    values: dict[str, object] = {
        "aircraft_type": type_code,
        "code": code,
        "name": f"{place.name}, {house.kind(one.item, said)[1].lower()}"[:80],
        "kind": kind,
        "side": place.side,
        "capacity": str(room.get((type_code, place.code, kind), 1)),
        **_drawn(lines, type_code, place),
    }
    lines.positions[type_code, code] = place
    lines.add("Layout positions", [type_code, code], one.at, values, code="position")
    return code


def _add_aircraft(lines: Lines, one: Seen, type_code: str) -> None:
    values: dict[str, object] = {
        "registration": one.aircraft,
        "msn": one.msn,
        "aircraft_type": type_code,
        "station": station_code(lines.house, lines.said),
    }
    roles = {"registration": "aircraft", "msn": "msn", "aircraft_type": "type"}
    lines.add("Aircraft", [one.aircraft], one.at, values, **roles)
    if ("Programmes", PROGRAMME) in lines.once:
        follows = {"aircraft": one.aircraft, "from_on": lines.day, "programme": PROGRAMME}
        lines.add("Programme of aircraft", [one.aircraft], one.at, follows, aircraft="aircraft")


def _drawn(lines: Lines, type_code: str, place: Place) -> dict[str, object]:
    """Where a mark stands on the drawing: by its door's number and side, measured by nobody."""
    across = {"left": -150, "right": 150}.get(place.side)
    if across is not None:
        taken = sum(
            of == type_code and other.code == place.code
            for (of, _), other in lines.positions.items()
        )
        return {"x_cm": str(place.along + 40 * taken), "y_cm": str(across)}
    x, y = _free_mark(lines, type_code, place)
    lines.marks.setdefault(type_code, []).append((x, y))
    return {"x_cm": str(x), "y_cm": str(y)}


#: Marks on the centre line stand in three rows, each column of them so far from the next that its names can be read.
_ROWS, _STEP, _MIDDLE = (0, -80, 80), 260, 1700


def _free_mark(lines: Lines, type_code: str, place: Place) -> tuple[int, int]:
    """The first free mark near a place on the centre line: towards the middle, and not out of the tail."""
    zone = place.code.partition("-")[0]
    on_record = sum(
        each.type == type_code and each.code.partition("-")[0] == zone
        for each in lines.house.positions
    )
    step = -_STEP if place.along > _MIDDLE else _STEP
    marks = lines.marks.get(type_code, [])
    for n in range(on_record, on_record + len(marks) * 3 + 1):
        column, row = divmod(n, len(_ROWS))
        x, y = max(0, place.along + step * column), _ROWS[row]
        if all(abs(x - other) >= _STEP or y != across for other, across in marks):
            return x, y
    return place.along, 0
