"""Hours and cycles in headings and cells: which of the two, counted of the unit or of the aircraft."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import NamedTuple

from fleet.intake.numbers import count_of, minutes_of

from .marks import bare, is_number, text_in

HOURS, CYCLES = "fh", "fc"
#: What each is called: in words, and by its code among the measures.
NAMES = {HOURS: "hours", CYCLES: "cycles"}
CODES = {HOURS: "FH", CYCLES: "FC"}

_WORDS = {
    HOURS: r"FLT HRS|FLIGHT (?:HOURS|TIME)|F H|FH|HRS?|HOURS?|TSN|TTAF|TTSN|TAT|T T|HH MM",
    CYCLES: r"FLIGHT CYCLES|F C|FC|CYCS?|CYCLES?|LDGS?|LANDINGS?|CSN|TAC|FLIGHTS",
}
_SAID = {measure: re.compile(rf"(?<!\S)(?:{words})(?!\S)") for measure, words in _WORDS.items()}
_OF_AIRCRAFT = re.compile(
    r"(?<!\S)(?:A C|AC|ACFT|AIRCRAFT|AIRFRAME|A F|AF|TTAF|TAT|TAC|SHIP)(?!\S)"
)
_OF_UNIT = re.compile(r"(?<!\S)(?:TSN|CSN|TTSN|UNIT|COMPONENT|COMP)(?!\S)")
_COUNT = re.compile(r"(\d[\d,.' ]*(?::\d{2})?)\s*([A-Z/ ]{1,14})\.?")


class Counted(NamedTuple):
    """What a heading counts: the measure (empty for none), and the heading without that word."""

    measure: str
    rest: str


@lru_cache(maxsize=20_000)
def counted_in(words: str) -> Counted:
    """Which measure a heading (bare) names; none where it names both."""
    found = {measure: said for measure, p in _SAID.items() if (said := p.search(words))}
    if len(found) != 1:
        return Counted("", words)
    ((measure, _),) = found.items()
    return Counted(measure, " ".join(_SAID[measure].sub(" ", words).split()))


def is_of_aircraft(heading: str) -> bool | None:
    """Whether a heading says that the aircraft's own total is meant, or the unit's; None: neither."""
    words = bare(heading)
    if _OF_AIRCRAFT.search(words):
        return True
    return False if _OF_UNIT.search(words) else None


@lru_cache(maxsize=50_000)
def count_in(text: str) -> tuple[str, str]:
    """The measure and the number of a cell that says both, such as ``3,000 FH``; else two empty texts."""
    found = _COUNT.fullmatch(text.strip().upper())
    if not found:
        return "", ""
    counted = counted_in(bare(found[2]))
    return (counted.measure, found[1].strip()) if counted.measure and not counted.rest else ("", "")


_PIECES = re.compile(r"\s*(?:\n| / |;|\bOR\b)\s*", re.IGNORECASE)


def pieces_in(text: str) -> list[str]:
    """What a cell says one after the other: ``3 Mar 2028 / 23,400 FH``."""
    return _PIECES.split(text)


def amount_of(measure: str, cell: object) -> int | None:
    """A cell's number as whole minutes of hours, or as a count; None where it is none."""
    plain: object = cell
    if isinstance(cell, str):
        said, number = count_in(text_in(cell))
        plain = number if said == measure else text_in(cell)
    read = minutes_of(plain) if measure == HOURS else count_of(plain)
    return read if isinstance(read, int) else None


def looks_like_a_count(cell: object) -> bool:
    """Whether a cell could be hours or cycles: a number, or a text that is read as one."""
    return is_number(cell) or (isinstance(cell, str) and amount_of(HOURS, cell) is not None)


def amount_words(measure: str, amount: int) -> str:
    """An amount as it may be typed again: ``3000`` or ``3000:30``."""
    if measure == CYCLES:
        return str(amount)
    return f"{amount // 60}:{amount % 60:02d}" if amount % 60 else str(amount // 60)
