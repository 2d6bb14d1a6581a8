"""What looks wrong in own sheets before anything is taken: each with its lines, and what could be meant."""

from __future__ import annotations

import datetime as dt
import re
from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

from fleet.intake.problems import CellProblem
from fleet.intake.stamps import Stamp, in_words

from .house import House
from .reading.proposing import OwnSheet
from .said import Said
from .seen import Seen
from .words.marks import UNKNOWN, bare, mark_of, text_in

_FACTS = re.compile(
    r"\b(EX|FROM|SWAPPED|REMOVED|ROBBED|IN SHOP|AT SHOP|SHOP|SENT|LOAN|LENT|BORROWED|QUARANTINE|U/S|UNSERVICEABLE|US|DEFERRED|MEL|EXTENDED|EXTENSION|CONCESSION)\b"
)


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a doubt: the cell that it is about, what stands there, and what could be meant."""

    sheet: str
    cell: str
    holds: str
    says: str
    meant: str = ""

    @property
    def key(self) -> str:
        return f"{self.sheet}!{self.cell}"

    @property
    def line_key(self) -> str:
        return f"{self.sheet}!{re.sub('[A-Z]', '', self.cell)}"


@dataclass(slots=True)
class Doubt:
    """One sort of suspicion: its code, a sentence, and its lines. ``is_left`` where such a line cannot
    be taken as it is, so that it is left out unless it is mended."""

    code: str
    sentence: str
    lines: list[Line] = field(default_factory=list)
    is_left: bool = False


_Check = Callable[[Sequence[Seen], Sequence[OwnSheet], House, Said, dt.date], Doubt]


def doubts_in(
    seen: Sequence[Seen], sheets: Sequence[OwnSheet], house: House, said: Said, day: dt.date
) -> list[Doubt]:
    """Every suspicion that has a line, those that keep a line out first."""
    found = [check(seen, sheets, house, said, day) for check in _CHECKS]
    taken = set(said.taken)
    for doubt in found:
        doubt.lines = [line for line in doubt.lines if f"{doubt.code} {line.key}" not in taken]
    return sorted((doubt for doubt in found if doubt.lines), key=lambda doubt: not doubt.is_left)


def _line(one: Seen, sheets: Sequence[OwnSheet], role: str, says: str, meant: str = "") -> Line:
    sheet = sheets[one.sheet]
    column = next((c for c in sheet.columns if c.role == role), None)
    letter = column.letter if column else ""
    row = sheet.rows[one.row]
    holds = text_in(row[column.at]) if column and column.at < len(row) else ""
    return Line(sheet.name, f"{letter}{one.row + 1}", holds, says, meant)


def _role(one: Seen, sheets: Sequence[OwnSheet], role: str) -> str:
    return role if sheets[one.sheet].at(role) is not None else "part_serial"


def _no_serial(seen: Sequence[Seen], sheets: Sequence[OwnSheet], *_: object) -> Doubt:
    doubt = Doubt(
        "no_serial",
        "These lines have no serial number, so that nobody can tell which unit it is. They stay out "
        "unless you write the number.",
        is_left=True,
    )
    for one in seen:
        if not one.serial or mark_of(one.serial):
            word = one.serial or "blank"
            doubt.lines.append(
                _line(one, sheets, _role(one, sheets, "serial"), f"The serial number is {word}.")
            )
    return doubt


def _lost_zero(seen: Sequence[Seen], sheets: Sequence[OwnSheet], *_: object) -> Doubt:
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
                    _line(
                        one,
                        sheets,
                        _role(one, sheets, "serial"),
                        f"{one.serial} stands beside {like}.",
                        meant,
                    )
                )
    return doubt


def _part_in_ways(seen: Sequence[Seen], sheets: Sequence[OwnSheet], *_: object) -> Doubt:
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
                doubt.lines.append(_line(one, sheets, _role(one, sheets, "part"), says, common))
    return doubt


def _on_two(seen: Sequence[Seen], sheets: Sequence[OwnSheet], *_: object) -> Doubt:
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
            doubt.lines.append(_line(one, sheets, _role(one, sheets, "serial"), says))
    return doubt


def _where(one: Seen) -> str:
    return (
        "no aircraft" if one.is_spare else f"{one.aircraft} {' '.join(one.place.split())}".strip()
    )


def _shared_place(
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
            doubt.lines.append(_line(one, sheets, "position", says))
    return doubt


def _past_its_life(
    seen: Sequence[Seen], sheets: Sequence[OwnSheet], house: House, said: Said, day: dt.date
) -> Doubt:
    doubt = Doubt(
        "past_life", "These dates lie past the unit's own end of life, or before the unit was made."
    )
    for one in seen:
        end = one.next.get("LIFE")
        for work, on in one.next.items():
            if (
                isinstance(end, Stamp)
                and isinstance(on, Stamp)
                and work != "LIFE"
                and on.on > end.on
            ):
                doubt.lines.append(
                    _line(
                        one,
                        sheets,
                        f"next:{work}",
                        f"Next {in_words(on)}, and its life ends {in_words(end)}.",
                    )
                )
        for work, on in one.done.items():
            if isinstance(one.made, Stamp) and isinstance(on, Stamp) and on.on < one.made.on:
                doubt.lines.append(
                    _line(
                        one,
                        sheets,
                        f"done:{work}",
                        f"Done {in_words(on)}, and made {in_words(one.made)}.",
                    )
                )
    return doubt


def _to_come(
    seen: Sequence[Seen], sheets: Sequence[OwnSheet], house: House, said: Said, day: dt.date
) -> Doubt:
    doubt = Doubt("to_come", "These works are said to be done on a day that has not come.")
    for one in seen:
        for work, on in one.done.items():
            if isinstance(on, Stamp) and on.on > day:
                doubt.lines.append(
                    _line(one, sheets, f"done:{work}", f"{in_words(on)} has not come.")
                )
    return doubt


def _unreadable(seen: Sequence[Seen], sheets: Sequence[OwnSheet], *_: object) -> Doubt:
    doubt = Doubt("unreadable", "These cells stand in a column of dates and cannot be read as one.")
    for one in seen:
        dated: Iterable[tuple[str, object]] = (
            ("made", one.made),
            ("fitted", one.fitted),
            *((f"done:{work}", on) for work, on in one.done.items()),
            *((f"next:{work}", on) for work, on in one.next.items()),
        )
        for role, read in dated:
            if isinstance(read, CellProblem):
                doubt.lines.append(_line(one, sheets, role, read.sentence))
    return doubt


def _falling_totals(seen: Sequence[Seen], sheets: Sequence[OwnSheet], *_: object) -> Doubt:
    doubt = Doubt("falling_total", "These totals are below the last one of the same aircraft.")
    for sheet in sheets:
        last: dict[tuple[str, str], tuple[float, str]] = {}
        for each in sheet.grid.readings if sheet.grid and not sheet.grid.is_use else ():
            number = float(re.sub(r"[^\d.]", "", text_in(each.cell).replace(":", ".")) or 0)
            before, words = last.get((each.aircraft, each.what), (0.0, ""))
            if number < before:
                says = f"{text_in(each.cell)} {each.what} of {each.aircraft}, after {words}."
                doubt.lines.append(Line(sheet.name, f"{each.row + 1}", text_in(each.cell), says))
            last[each.aircraft, each.what] = (number, text_in(each.cell))
    return doubt


def _remarks(seen: Sequence[Seen], sheets: Sequence[OwnSheet], *_: object) -> Doubt:
    doubt = Doubt(
        "remarks",
        "These remarks hold facts that no column tells. They are kept as a note; record what they mean.",
    )
    for one in seen:
        if one.remarks and ("?" in one.remarks or _FACTS.search(one.remarks.upper())):
            doubt.lines.append(_line(one, sheets, "remarks", one.remarks))
    return doubt


def _marks(seen: Sequence[Seen], sheets: Sequence[OwnSheet], *_: object) -> Doubt:
    doubt = Doubt(
        "not_known", "Here the sheet says that it does not know: so it is taken as not known."
    )
    for one in seen:
        for role, mark in one.marks.items():
            if mark == UNKNOWN and role not in {"serial", "part_serial"}:
                doubt.lines.append(_line(one, sheets, role, "Not known."))
    return doubt


_CHECKS: tuple[Callable[..., Doubt], ...] = (
    _no_serial,
    _on_two,
    _lost_zero,
    _part_in_ways,
    _shared_place,
    _past_its_life,
    _to_come,
    _unreadable,
    _falling_totals,
    _remarks,
    _marks,
)
