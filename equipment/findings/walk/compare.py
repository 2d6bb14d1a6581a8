"""What a person saw at a position against what the records say is there. Pure: no Django, no clock."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from fleet.words.said import day_words

from .gauge import Band, why_not_gauge
from .seen import Seen

OTHER, NONE, UNRECORDED = "other_unit", "no_unit", "unrecorded_unit"
UNKNOWN, CONDITION = "unknown_unit", "condition"
#: How a pin reads that is as it should be; anything else is told to the controller as it was read.
PIN_GOOD = frozenset({"", "as it should be", "ok", "stowed", "sealed", "not fitted with one"})
_BETWEEN = re.compile(r"[\s\-_./]+")


@dataclass(frozen=True, slots=True)
class OnRecord:
    """A unit as the records have it. ``part_numbers`` are the current and the original one.

    ``expiries`` are the dates on which its limits by the calendar run out, where they are known.
    """

    id: int
    words: str
    serial_number: str
    part_numbers: tuple[str, ...]
    quantity: int = 1
    expiries: tuple[date, ...] = ()
    band: Band | None = None


@dataclass(frozen=True, slots=True)
class Position:
    """A position as the records have it. ``seen`` are the units already seen there on this round."""

    words: str
    capacity: int
    recorded: tuple[OnRecord, ...] = ()
    seen: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that differs from the record; ``sort`` is one of ``Discrepancy.SORTS``."""

    sort: str
    words: str
    recorded_id: int | None = None
    found_id: int | None = None


def unit_seen(seen: Seen, position: Position) -> OnRecord | None:
    """The recorded unit that was read, or the only one there if no plate was read; None: another."""
    if not seen.plate:
        unseen = [unit for unit in position.recorded if unit.id not in position.seen]
        alone = position.recorded if len(position.recorded) == 1 else tuple(unseen)
        return alone[0] if len(alone) == 1 else None
    return next((unit for unit in position.recorded if _is_read(seen, unit)), None)


def findings(
    seen: Seen, position: Position, elsewhere: tuple[OnRecord, ...], today: date
) -> list[Finding]:
    """Everything that differs, each once. ``elsewhere`` are other units that the plate may name.

    An empty position misses each recorded unit; where several units may be, those not seen yet.
    """
    if seen.is_empty:
        return [_missing(unit, position) for unit in _not_seen(position)]
    unit = unit_seen(seen, position)
    if unit is None and not seen.plate:
        return _without_plate(seen, position, today)
    found = [] if unit else [_another(seen, position, elsewhere)]
    of = unit or (elsewhere[0] if len(elsewhere) == 1 else None)
    return found + [
        Finding(CONDITION, f"{_named(of, seen)} at {position.words}: {words}", _id(of), _id(of))
        for words in _conditions(seen, of, today)
    ]


def _not_seen(position: Position) -> list[OnRecord]:
    if position.capacity == 1:
        return list(position.recorded)
    return [unit for unit in position.recorded if unit.id not in position.seen]


def _missing(unit: OnRecord, position: Position) -> Finding:
    return Finding(NONE, f"{unit.words} is recorded at {position.words} and is not there.", unit.id)


def _without_plate(seen: Seen, position: Position, today: date) -> list[Finding]:
    """A gauge or pin was read of a unit that nobody named: at which of several, nobody knows."""
    found = [
        Finding(CONDITION, f"A unit at {position.words}: {words}")
        for words in _conditions(seen, None, today)
    ]
    if position.recorded:
        return found
    words = f"A unit is at {position.words}, where none is recorded. Its plate was not read."
    return [Finding(UNRECORDED, words), *found]


def _is_read(seen: Seen, unit: OnRecord) -> bool:
    """Whether a plate names this unit: what was read of it agrees."""
    number, serial = _plain(seen.part_number_read), _plain(seen.serial_number_read)
    is_part = not number or number in {_plain(each) for each in unit.part_numbers}
    return is_part and (not serial or serial == _plain(unit.serial_number))


def _plain(text: str) -> str:
    return _BETWEEN.sub("", text).upper()


def _another(seen: Seen, position: Position, elsewhere: tuple[OnRecord, ...]) -> Finding:
    """Which sort of difference a unit is that is not recorded at the position."""
    full = sum(unit.quantity for unit in position.recorded) >= position.capacity
    replaced = _not_seen(position) if full else []
    recorded = replaced[0] if len(replaced) == 1 else None
    said = ", ".join(unit.words for unit in replaced) or "nothing more"
    if not seen.serial_number_read.strip():
        words = f"A {seen.plate}, its serial number not read, is at {position.words}, where {said} is recorded."
        return Finding(OTHER if full else UNRECORDED, words, _id(recorded))
    if len(elsewhere) == 1:
        unit = elsewhere[0]
        words = f"{unit.words} is at {position.words}, where {said} is recorded."
        return Finding(OTHER if full else UNRECORDED, words, _id(recorded), unit.id)
    which = "is not on record" if not elsewhere else "may be more than one unit on record"
    words = f"{seen.plate} is at {position.words} and {which}; {said} is recorded there."
    return Finding(UNKNOWN, words, _id(recorded))


def _conditions(seen: Seen, unit: OnRecord | None, today: date) -> Iterator[str]:
    if words := _why_not_expiry(seen.expiry_read, unit, today):
        yield words
    if words := why_not_gauge(seen.gauge_read, unit.band if unit else None):
        yield words
    if " ".join(seen.pin_read.lower().split()) not in PIN_GOOD:
        yield f"its pin reads “{seen.pin_read.strip()}”."


def _why_not_expiry(read: date | None, unit: OnRecord | None, today: date) -> str:
    if read is None:
        return ""
    if read < today:
        return f"it expired on {day_words(read)}."
    known = unit.expiries if unit else ()
    if known and read not in known:
        said = ", ".join(day_words(day) for day in sorted(known))
        return f"its plate says {day_words(read)}, the records say {said}."
    return ""


def _named(unit: OnRecord | None, seen: Seen) -> str:
    return unit.words if unit else seen.plate


def _id(unit: OnRecord | None) -> int | None:
    return unit.id if unit else None
