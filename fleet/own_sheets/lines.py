"""From what was seen to lines of the kinds of sheet that the template has, each with the cell it came from."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from fleet.intake.problems import CellProblem
from fleet.intake.stamps import Stamp

from .house import House, Position
from .intervals import LIFE, Added
from .reading.proposing import OwnSheet
from .said import Said, word_key
from .seen import Seen
from .words.heads import WORKS
from .words.places import Place

NOT_KNOWN = "NOT-KNOWN"
PROGRAMME = "OWN"
INSTALLED, RECEIVED = "installed", "received"
#: What is written where a sheet says nothing and the record needs a word.
MAKER_NAME = "Maker not known"
BEFORE = "As in the operator's own sheet: there on or before this day"


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a kind of sheet: values by field, and the sheet and row (from 0) it came from.

    ``sheet`` is -1 for what no sheet tells. ``roles`` says which role's column a field came from.
    """

    sheet: int
    row: int
    values: dict[str, object]
    roles: Mapping[str, str] = field(default_factory=dict)


@dataclass(slots=True)
class OnRecord:
    """Where units stand on record, by part and serial number (capitals), in the words of a line, and
    the makers of part numbers."""

    places: dict[tuple[str, str], tuple[str, str]] = field(default_factory=dict)
    makers: dict[str, str] = field(default_factory=dict)


@dataclass(slots=True)
class Lines:
    """Lines by the name of their kind of sheet, each fact once."""

    day: dt.date
    house: House
    said: Said
    record: OnRecord
    by_kind: dict[str, list[Line]] = field(default_factory=dict)
    once: set[tuple[object, ...]] = field(default_factory=set)
    positions: dict[tuple[str, str], Place] = field(default_factory=dict)

    def add(
        self,
        kind: str,
        key: Sequence[object],
        at: tuple[int, int],
        values: dict[str, object],
        **roles: str,
    ) -> None:
        """This will add a line unless the fact of that key was said by a line before."""
        whole = (kind, *key)
        if whole in self.once:
            return
        self.once.add(whole)
        self.by_kind.setdefault(kind, []).append(Line(*at, values, roles))


def lines_of(
    seen: Sequence[Seen],
    sheets: Sequence[OwnSheet],
    added: Sequence[Added],
    *,
    day: dt.date,
    house: House,
    said: Said,
    record: OnRecord,
) -> dict[str, list[Line]]:
    """Every line that own sheets give, by kind of sheet. What is on record is not said again where a
    name alone would say it."""
    lines = Lines(day, house, said, record)
    _of_the_house(lines, added, seen)
    room = _room(seen, lines)
    for one in seen:
        _of_unit(lines, one, room)
    _of_readings(lines, sheets)
    return lines.by_kind


def station_code(said: Said) -> str:
    return said.station.upper()[:8] or "MAIN"


def type_of(registration: str, one: Seen | None, house: House, said: Said) -> str:
    """The type of an aircraft: on record, in its line, or as said; empty where nobody told."""
    named = house.aircraft.get(registration) or (one.type if one else "")
    return (named or said.types.get(registration) or said.type).upper()[:24]


def position_code(place: Place, kind: str) -> str:
    """One place takes units of several kinds; its code is not longer than the record takes."""
    code = f"{place.code}-{kind}"
    if len(code) <= 32:
        return code
    return f"{code[:27]}-{hashlib.sha256(code.encode()).hexdigest()[:4].upper()}"


def _of_the_house(lines: Lines, added: Sequence[Added], seen: Sequence[Seen]) -> None:
    said, house, nowhere = lines.said, lines.house, (-1, 0)
    code = station_code(said)
    if code not in house.stations:
        zone = said.zone or house.zone
        lines.add(
            "Stations",
            [code],
            nowhere,
            {"code": code, "name": said.station or "Main base", "time_zone": zone},
        )
    works = {work for one in seen for work in (*one.done, *one.next, *one.interval)}
    for work in sorted(works):
        name = WORKS[work][0] if work in WORKS else work.replace("-", " ").capitalize()
        lines.add("Works", [work], nowhere, {"code": work, "name": name})
    stated = [(each, months) for each in added if (months := _stated(each, said))]
    if not stated:
        return
    lines.add(
        "Programmes",
        [PROGRAMME],
        nowhere,
        {"code": PROGRAMME, "name": "Own programme", "revision": "1", "govern_spares": "yes"},
    )
    for each, months in stated:
        _of_limit(lines, each, months)


def _stated(each: Added, said: Said) -> int:
    text = said.months.get(each.key, "").strip()
    return int(text) if text.isdecimal() and 0 < int(text) <= 1200 else 0


def _of_limit(lines: Lines, each: Added, months: int) -> None:
    said = lines.said
    work = WORKS[each.work][0] if each.work in WORKS else each.work.replace("-", " ").capitalize()
    code = f"{each.work}-{each.kind}"[:40]
    rule = {"programme": PROGRAMME, "limit": code, "revision": "1"}
    lines.add(
        "Limits",
        [code],
        (-1, 0),
        {
            **rule,
            "title": f"{each.kind_name}: {work.lower()}"[:120],
            "work": each.work,
            "kind": each.kind,
            "document": said.document or "Own sheet, to be confirmed with approved data",
            "document_revision": said.revision or "NOT-STATED",
        },
    )
    start = "manufacture" if each.work == LIFE else "last done"
    lines.add(
        "Clocks",
        [code],
        (-1, 0),
        {
            **rule,
            "clock": "1",
            "measure": "months",
            "amount": str(months),
            "counts_from": start,
            "first_from": "manufacture",
        },
    )


def _room(seen: Sequence[Seen], lines: Lines) -> dict[tuple[str, str, str], int]:
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


def part_of(one: Seen, kind: str) -> str:
    return " ".join(one.part.upper().split()) or f"{NOT_KNOWN}-{kind}"[:40]


def _of_unit(lines: Lines, one: Seen, room: Mapping[tuple[str, str, str], int]) -> None:
    at = (one.sheet, one.row)
    kind, kind_name = lines.house.kind(one.item, lines.said)
    if kind not in lines.house.kinds:
        lines.add("Kinds", [kind], at, {"code": kind, "name": kind_name})
    part, maker = part_of(one, kind), one.maker.upper()[:16]
    maker = lines.record.makers.get(part, "") or maker or NOT_KNOWN
    if part not in lines.record.makers:
        lines.add(
            "Makers", [maker], at, {"code": maker, "name": one.maker or MAKER_NAME}, code="maker"
        )
        values: dict[str, object] = {
            "maker": maker,
            "part": part,
            "description": one.item or kind_name,
            "kind": kind,
        }
        lines.add("Part numbers", [part], at, values, part="part")
        lines.record.makers[part] = maker
    unit: dict[str, object] = {"maker": maker, "part": part, "serial": one.serial}
    roles = {"part": "part", "serial": "serial"}
    stated = {**unit, "manufactured_on": one.made, "note": one.remarks[:200]}
    lines.add("Units", one.key, at, stated, **roles, manufactured_on="made", note="remarks")
    _of_works(lines, one, at, unit, roles)
    _of_place(lines, one, at, unit, kind, room)


def _of_works(
    lines: Lines, one: Seen, at: tuple[int, int], unit: dict[str, object], roles: dict[str, str]
) -> None:
    for work, on in one.done.items():
        if on is None:
            continue
        role = f"done:{work}"
        when = on.on if isinstance(on, Stamp) else on
        values = {**unit, "work": work, "done_on": on}
        lines.add("Works done", [*one.key, work, when], at, values, **roles, done_on=role)


def _of_place(
    lines: Lines,
    one: Seen,
    at: tuple[int, int],
    unit: dict[str, object],
    kind: str,
    room: Mapping[tuple[str, str, str], int],
) -> None:
    fitted = one.fitted if isinstance(one.fitted, Stamp | CellProblem) else None
    moved: dict[str, object] = {**unit, "happened_on": fitted or Stamp(lines.day, "day")}
    if fitted is None:
        moved["reason"] = BEFORE
    if one.aircraft and not one.is_spare:
        type_code, code = _of_aircraft(lines, one, at, kind, room)
        stands = (one.aircraft, code)
        moved |= {"sort": INSTALLED, "to": "aircraft", "aircraft": one.aircraft, "position": code}
    else:
        stands = ("", station_code(lines.said))
        moved |= {"sort": RECEIVED, "to": "store", "station": stands[1]}
    if lines.record.places.get((str(unit["part"]), one.serial.upper())) == stands:
        return  # it stands there already: nothing happened
    lines.add(
        "Movements",
        one.key,
        at,
        moved,
        part="part",
        serial="serial",
        happened_on="fitted",
        aircraft="aircraft",
        position="position",
    )


def _of_aircraft(
    lines: Lines,
    one: Seen,
    at: tuple[int, int],
    kind: str,
    room: Mapping[tuple[str, str, str], int],
) -> tuple[str, str]:
    """The aircraft of a unit and its position; codes of its type and of the position."""
    house, said = lines.house, lines.said
    type_code = type_of(one.aircraft, one, house, said)
    if type_code and type_code not in house.types:
        lines.add(
            "Aircraft types",
            [type_code],
            at,
            {"code": type_code, "name": one.type or type_code},
            code="type",
        )
    if one.aircraft not in house.aircraft:
        values: dict[str, object] = {
            "registration": one.aircraft,
            "msn": one.msn,
            "aircraft_type": type_code,
            "station": station_code(said),
        }
        lines.add(
            "Aircraft",
            [one.aircraft],
            at,
            values,
            registration="aircraft",
            msn="msn",
            aircraft_type="type",
        )
        if any(text.strip() for text in said.months.values()):
            follows = {"aircraft": one.aircraft, "from_on": lines.day, "programme": PROGRAMME}
            lines.add("Programme of aircraft", [one.aircraft], at, follows, aircraft="aircraft")
    place = house.place(one.place, said)
    known: Position | None = house.position(type_code, place, kind, word_key(one.place))
    if known:
        return type_code, known.code
    code = position_code(place, kind)
    kind_name = house.kind(one.item, said)[1]
    values = {
        "aircraft_type": type_code,
        "code": code,
        "name": f"{place.name}, {kind_name.lower()}"[:80],
        "kind": kind,
        "side": place.side,
        "capacity": str(room.get((type_code, place.code, kind), 1)),
        **_drawn(lines, type_code, code, place),
    }
    lines.add("Layout positions", [type_code, code], at, values, code="position")
    return type_code, code


def _drawn(lines: Lines, type_code: str, code: str, place: Place) -> dict[str, object]:
    """Where a mark stands on the drawing: by its door's number and side, measured by nobody."""
    across = {"left": -150, "right": 150}.get(place.side, 0)
    taken = sum(
        1
        for (of, _), other in lines.positions.items()
        if of == type_code and other.code == place.code
    )
    lines.positions.setdefault((type_code, code), place)
    return {"x_cm": str(place.along + 40 * taken), "y_cm": str(across)}


def _of_readings(lines: Lines, sheets: Sequence[OwnSheet]) -> None:
    for number, sheet in enumerate(sheets):
        if sheet.is_left_out or sheet.grid is None or sheet.grid.is_use:
            continue
        both: dict[tuple[str, dt.date], tuple[int, dict[str, object]]] = {}
        for each in sheet.grid.readings:
            if lines.said.left and f"{sheet.name}!{each.row + 1}" in lines.said.left:
                continue
            _, totals = both.setdefault((each.aircraft, each.on), (each.row, {}))
            totals[each.what] = each.cell
        for (aircraft, on), (row, totals) in both.items():
            if aircraft not in lines.house.aircraft and ("Aircraft", aircraft) not in lines.once:
                continue
            values = {
                "aircraft": aircraft,
                "read_on": Stamp(on, "day"),
                "source": f"Own sheet, {sheet.name}"[:80],
                **totals,
            }
            lines.add("Readings", [aircraft, on], (number, row), values)
