"""Which unit a line is about: serial numbers, part numbers, where it stands."""

from __future__ import annotations

import datetime as dt
import re
from collections import defaultdict
from collections.abc import Sequence

from fleet.own_sheets.house import House
from fleet.own_sheets.reading.sheets import OwnSheet
from fleet.own_sheets.said import Said
from fleet.own_sheets.unit import Seen
from fleet.own_sheets.words.marks import bare, mark_of

from .doubt import Doubt, line_of, role_of


def no_serial(seen: Sequence[Seen], sheets: Sequence[OwnSheet], *_: object) -> Doubt:
    doubt = Doubt(
        "no_serial",
        "These lines have no serial number, so that nobody can tell which unit it is. The unit stays "
        "out unless you write the number; its place on the aircraft stays, with nothing recorded there.",
        is_left=True,
        keeps_place=True,
    )
    for one in seen:
        if not one.serial or mark_of(one.serial):
            word = one.serial or "blank"
            doubt.lines.append(
                line_of(
                    one, sheets, role_of(one, sheets, "serial"), f"The serial number is {word}."
                )
            )
    return doubt


def lost_zero(seen: Sequence[Seen], sheets: Sequence[OwnSheet], *_: object) -> Doubt:
    doubt = Doubt(
        "lost_zero",
        "These serial numbers are shorter than the others of their part, as if a spreadsheet had dropped "
        "a zero in front.",
    )
    by_part: dict[str, list[Seen]] = defaultdict(list)
    for one in seen:
        if one.serial.isdecimal():
            by_part[bare(one.part)].append(one)
    for units in by_part.values():
        padded = {len(one.serial) for one in units if one.serial.startswith("0")}
        if len(padded) != 1:
            continue
        width = padded.pop()
        for one in units:
            if len(one.serial) < width:
                meant = one.serial.zfill(width)
                like = next(each.serial for each in units if each.serial.startswith("0"))
                doubt.lines.append(
                    line_of(
                        one,
                        sheets,
                        role_of(one, sheets, "serial"),
                        f"{one.serial} stands beside {like}.",
                        meant,
                    )
                )
    return doubt


def part_in_ways(seen: Sequence[Seen], sheets: Sequence[OwnSheet], *_: object) -> Doubt:
    doubt = Doubt(
        "part_in_ways",
        "One part number is written in more than one way: the commonest is proposed.",
    )
    ways: dict[str, dict[str, list[Seen]]] = defaultdict(lambda: defaultdict(list))
    for one in seen:
        if one.part:
            ways[re.sub(r"[^A-Z0-9]", "", one.part.upper())][
                " ".join(one.part.upper().split())
            ].append(one)
    for spelled in ways.values():
        if len(spelled) < 2:
            continue
        common = max(spelled, key=lambda text: (len(spelled[text]), text))
        for text, units in spelled.items():
            for one in units if text != common else ():
                says = f"{text} here, {common} in {len(spelled[common])} other lines."
                doubt.lines.append(line_of(one, sheets, role_of(one, sheets, "part"), says, common))
    return doubt


def on_two(seen: Sequence[Seen], sheets: Sequence[OwnSheet], *_: object) -> Doubt:
    doubt = Doubt(
        "on_two",
        "One unit stands in two places. Leave the line out that is not so, or mend the number.",
        is_left=True,
    )
    first: dict[tuple[str, str], Seen] = {}
    for one in seen:
        if not one.serial or mark_of(one.serial):
            continue
        before = first.setdefault(one.key, one)
        if before is not one and _where(before) != _where(one):
            says = f"{one.serial} is on {_where(one)} here, and on {_where(before)} in row {before.row + 1} of {sheets[before.sheet].name}."
            doubt.lines.append(line_of(one, sheets, role_of(one, sheets, "serial"), says))
    return doubt


def _where(one: Seen) -> str:
    return (
        "no aircraft" if one.is_spare else f"{one.aircraft} {' '.join(one.place.split())}".strip()
    )


def shared_place(
    seen: Sequence[Seen], sheets: Sequence[OwnSheet], house: House, said: Said, day: dt.date
) -> Doubt:
    doubt = Doubt(
        "shared_place",
        "Two units of one kind stand at one door. If both are right, the position takes two.",
    )
    first: dict[tuple[str, str, str], Seen] = {}
    for one in seen:
        place = house.place(one.place, said)
        if not one.aircraft or one.is_spare or not re.match(r"D\d+[LR]", place.code):
            continue
        before = first.setdefault((one.aircraft, place.code, house.kind(one.item, said)[0]), one)
        if before.key != one.key:
            says = f"{one.serial} and {before.serial} (row {before.row + 1}) are both at {place.name} of {one.aircraft}."
            doubt.lines.append(line_of(one, sheets, "position", says))
    return doubt
