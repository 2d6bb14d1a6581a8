"""Words for where a unit is fitted, to positions: doors with their number and side, zones, stores."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from .crafts import is_spares
from .marks import bare as _bare
from .tongues import in_english

LEFT, RIGHT, CENTRE = "left", "right", "centre"
_SIDES = {LEFT: r"L|LH|LHS|L H|LEFT|LT|PORT", RIGHT: r"R|RH|RHS|R H|RIGHT|RT|STBD|STARBOARD"}
_SIDE = {side: re.compile(rf"(?<!\S)(?:{words})(?!\S)") for side, words in _SIDES.items()}
_DOOR = re.compile(
    r"(?:DOOR|DR|D)? ?(?:NO )?(\d{1,2}) ?(L|R)H?S?|(?:DOOR|DR|D)? ?(L|R)H? ?(\d{1,2})"
)
_NUMBER = re.compile(r"(?<![A-Z0-9])(\d{1,3})(?![0-9])")
_ZONES: tuple[tuple[str, str, int], ...] = (
    (r"FLIGHT DECK|FLT DECK|COCKPIT|CKPT|F D", "Flight deck", 200),
    (r"FWD|FORWARD|FRONT", "Forward", 500),
    (r"MID|CENTER|CENTRE", "Middle", 1700),
    (r"OVER ?WING|O W|OWE|O WING", "Overwing", 1800),
    (r"AFT|REAR", "Aft", 3000),
    (r"TAIL ?CONE", "Tailcone", 3400),
    (r"GALLEY|GAL", "Galley", 2900),
    (r"LAV(ATORY)?|TOILET", "Lavatory", 2800),
    (r"CABIN|PAX|PASSENGER", "Cabin", 1700),
    (r"CARGO|HOLD", "Hold", 1600),
    (r"CLOSET|STOWAGE|WARDROBE|BIN|OHB|OVERHEAD", "Stowage", 1500),
    (r"ATTENDANT|CREW SEAT|CCS|JUMP ?SEAT", "Crew seat", 1200),
    (r"EXIT", "Exit", 1800),
    (r"DOOR|DR", "Door", 1700),
    (r"SEAT", "Seat", 1700),
    (r"ROW", "Row", 1700),
)
_ZONE = tuple((re.compile(rf"(?<!\S)(?:{words})(?!\S)"), name, x) for words, name, x in _ZONES)


def bare(text: str) -> str:
    """A text as places are compared: bare, in English."""
    return in_english(_bare(text))


@dataclass(frozen=True, slots=True)
class Place:
    """A place on an aircraft: short code, name in words, side, and about how far aft it lies (a
    guess for the drawing only, in centimetres)."""

    code: str
    name: str
    side: str
    along: int


def _doorless(words: str) -> str:
    """``R2 DOOR`` as ``R2``."""
    return re.sub(r" (DOOR|DR|SLIDE|POSN?)$", "", words)


def side_in(text: str) -> str:
    """Left or right as a text says it; centre where it says neither or both."""
    words = bare(text)
    if found := _DOOR.fullmatch(_doorless(words)):
        return LEFT if (found[2] or found[3]) == "L" else RIGHT
    said = [side for side, pattern in _SIDE.items() if pattern.search(words)]
    return said[0] if len(said) == 1 else CENTRE


def place_of(text: str) -> Place:
    """The place that a text means. What is not known becomes a place of its own name."""
    words = bare(text)
    side = side_in(text)
    if found := _DOOR.fullmatch(_doorless(words)):
        number = int(found[1] or found[4])
        letter = "L" if side == LEFT else "R"
        return Place(f"D{number}{letter}", f"Door {number} {side}", side, 100 + 500 * number)
    left = words
    for pattern in _SIDE.values():
        left = " ".join(pattern.sub(" ", left).split())
    if re.fullmatch(r"(DOOR|DR|D) ?\d{1,2}", left):
        number = int(re.sub(r"\D", "", left))
        tail = {LEFT: "L", RIGHT: "R"}.get(side, "")
        name = f"Door {number}" + (f" {side}" if tail else "")
        return Place(f"D{number}{tail}", name, side, 100 + 500 * number)
    return _by_zones(text, left, side)


def _by_zones(text: str, left: str, side: str) -> Place:
    found = [(name, x, m.start()) for p, name, x in _ZONE if (m := p.search(left))]
    if not found:
        code = bare(text).replace(" ", "-")[:14].strip("-") or "PLACE"
        return Place(code, " ".join(text.split())[:40] or "Place", side, 1700)
    rest = left
    for pattern, _, _ in _ZONE:
        rest = " ".join(pattern.sub(" ", rest).split())
    words = [name for name, _, _ in sorted(found, key=lambda each: each[2])]
    tail = f" {rest.lower()}" if rest else ""
    name = " ".join([words[0], *(word.lower() for word in words[1:])]) + tail
    name += f" {side}" if side != CENTRE else ""
    code = bare(name).replace(" ", "-")
    for long, short in (
        ("FORWARD", "FWD"),
        ("OVERWING", "OW"),
        ("LEFT", "L"),
        ("RIGHT", "R"),
        ("FLIGHT-DECK", "FD"),
    ):
        code = code.replace(long, short)
    return Place(code[:14].strip("-"), name[:60], side, found[0][1])


@lru_cache(maxsize=50_000)
def is_place(text: str) -> bool:
    """Whether a text is a word for a place that is known here."""
    words = bare(text)
    if not words or len(words) > 40:
        return False
    if _DOOR.fullmatch(words) or is_spares(text):
        return True
    has_zone = any(pattern.search(words) for pattern, _, _ in _ZONE)
    return has_zone or any(pattern.fullmatch(words) for pattern in _SIDE.values())


def is_one_place(text: str) -> bool:
    """Whether a text is the word for one place, not for a sort of places: ``1L``, ``Fwd galley``, ``LH``."""
    if not is_place(text) or is_spares(text):
        return False
    return side_in(text) != CENTRE or place_of(text).name not in _SORTS


_SORTS = frozenset({"Exit", "Door", "Seat", "Row", "Stowage", "Cabin", "Hold"})


def is_store(text: str) -> bool:
    """Whether a text in a column of places says that the unit is in stores."""
    return is_spares(text)
