"""From what was seen to lines of the kinds of sheet that the template has, each with the cell it came from."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from fleet.intake.stamps import Reading, Stamp

from .counted import total_at_work
from .fitted import Room, put_in_place, room_in, stands_empty
from .gathered import NOT_KNOWN, Line, Lines, OnRecord, part_of
from .house import House
from .intervals import LIFE, Added, is_undated, made_by_expiry
from .reading.sheets import OwnSheet
from .said import Said
from .stamped import ROLES, counts, kept_as_notes
from .standing import add_the_house
from .totals import add_readings, add_statements
from .unit import Seen
from .words.counts import CYCLES, HOURS

#: What is written where a sheet says nothing and the record needs a word.
MAKER_NAME = "Maker not known"


def lines_of(
    seen: Sequence[Seen],
    sheets: Sequence[OwnSheet],
    added: Sequence[Added],
    *,
    unnamed: Sequence[Seen] = (),
    day: dt.date,
    house: House,
    said: Said,
    record: OnRecord,
) -> dict[str, list[Line]]:
    """Every line that own sheets give, by kind of sheet. What is on record is not said again where a
    name alone would say it."""
    lines = Lines(day, house, said, record)
    add_the_house(lines, added, seen)
    room = room_in(seen, lines)
    for one in seen:
        _of_unit(lines, one, room, sheets[one.sheet])
    for one in unnamed:
        stands_empty(lines, one, _kind_of(lines, one), room)
    add_readings(lines, sheets, seen)
    return lines.by_kind


def _of_unit(lines: Lines, one: Seen, room: Room, sheet: OwnSheet) -> None:
    kind = _kind_of(lines, one)
    part = part_of(one, kind)
    maker = _maker_of(lines, one, part, kind)
    unit: dict[str, object] = {"maker": maker, "part": part, "serial": one.serial}
    made = _made(lines, one, kind)
    if made and not one.made:
        one.notes += ("Date of manufacture counted back from its expiry and its life",)
    notes = (*one.notes, *kept_as_notes(one, lines.house.stamp(one)), one.remarks)
    stated = {**unit, "manufactured_on": made, "note": "; ".join(filter(None, notes))[:200]}
    roles = {**_UNIT, "manufactured_on": "made", "note": "remarks"}
    lines.add("Units", one.key, one.at, stated, **roles)
    for work, on in one.done.items():
        if on is not None:
            when = on.on if isinstance(on, Stamp) else on
            values = {**unit, "work": work, "done_on": on, **_totals_at(one, work)}
            named = {**_UNIT, "done_on": f"done:{work}"}
            lines.add("Works done", [*one.key, work, when], one.at, values, **named)
    add_statements(lines, one, unit, sheet)
    _add_stamp(lines, one, unit, sheet)
    put_in_place(lines, one, unit, kind, room)


def _made(lines: Lines, one: Seen, kind: str) -> Reading:
    """Its date of manufacture; where a person said so, what its expiry and its stated life lead to."""
    key, said = f"{kind} {LIFE}", lines.said
    months = said.months.get(key, "").strip()
    if not is_undated(one) or not said.back.get(key) or not months.isdecimal():
        return one.made
    return made_by_expiry(one, int(months)) if 0 < int(months) <= 1200 else None


def _add_stamp(lines: Lines, one: Seen, unit: dict[str, object], sheet: OwnSheet) -> None:
    """What is stamped on a cylinder, unless it is on record so already, or a later reading is. What the sheet
    leaves blank stays as it was read before: the last reading counts whole."""
    told = lines.house.stamp(one)
    if not counts(one, told):
        return
    read_on, before = lines.record.stamps.get((str(unit["part"]), one.serial.upper()), (None, {}))
    values = {**before, **told.values}
    if read_on is not None and (values == before or read_on > lines.day):
        return
    document = f"Own spreadsheet, sheet {sheet.name}"[:80]
    stated = {**unit, **values, "read_on": Stamp(lines.day, "day"), "document": document}
    named = {field: role for role, field in ROLES.items()}
    lines.add("Cylinder markings", one.key, one.at, stated, **{**_UNIT, **named})


def _totals_at(one: Seen, work: str) -> dict[str, object]:
    """The unit's own hours and cycles at its last work, as far as its line tells them."""
    found: dict[str, object] = {}
    for measure, name in ((HOURS, "total_minutes"), (CYCLES, "total_cycles")):
        at = total_at_work(one, measure, work)
        if at is not None:
            found[name] = f"{at // 60}:{at % 60:02d}" if measure == HOURS else str(at)
    return found


def _kind_of(lines: Lines, one: Seen) -> str:
    """The code of what it is, said where it is new."""
    kind, name = lines.house.kind(one.item, lines.said)
    if kind not in lines.house.kinds:
        lines.add("Kinds", [kind], one.at, {"code": kind, "name": name})
    return kind


_UNIT = {"part": "part", "serial": "serial"}


def _maker_of(lines: Lines, one: Seen, part: str, kind: str) -> str:
    """The code of a part number's maker: as on record, as the line says, or *not known*."""
    if known := lines.record.makers.get(part):
        return known
    code = one.maker.upper()[:16] or NOT_KNOWN
    if code not in lines.record.maker_codes:
        named: dict[str, object] = {"code": code, "name": one.maker or MAKER_NAME}
        lines.add("Makers", [code], one.at, named, code="maker")
    described = one.item or lines.house.kind(one.item, lines.said)[1]
    values: dict[str, object] = {
        "maker": code,
        "part": part,
        "description": described,
        "kind": kind,
    }
    lines.add("Part numbers", [part], one.at, values, part="part")
    lines.record.makers[part] = code
    return code
