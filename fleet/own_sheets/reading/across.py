"""A column, or some, for each position or unit: place or item stand in the heading, the unit in the cell below."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from fleet.own_sheets.words.heads import head_of
from fleet.own_sheets.words.items import is_item
from fleet.own_sheets.words.places import is_one_place

from .contents import Looks

SERIAL = "S/N"
_UNITS = frozenset({"serial", "part_serial"})
_OF_LINES = _UNITS | {"position"}


@dataclass(frozen=True, slots=True)
class Across:
    """A heading taken apart: where, what (each empty if not said), and what is left of it."""

    place: str
    item: str
    rest: str

    @property
    def words(self) -> str:
        """What the column is of."""
        return f"the unit at {self.place}" if self.place else f"the {self.item.lower()} of the line"

    @property
    def key(self) -> str:
        """By what the columns of one unit belong together."""
        return f"{self.place} {self.item}".strip()


def across_in(name: str) -> Across | None:
    """The place that a heading names, with what else it says; None where it names none.

    ``Slide 1L``, ``DOOR 1L S/N``, ``S/N FWD LAV``.
    """
    whole = head_of(name)
    if whole.sure == 3 and ":" not in whole.role:
        return None
    words = name.split()
    for n in range(1, len(words) + 1):
        for where, rest in ((words[:n], words[n:]), (words[-n:], words[:-n])):
            if rest and head_of(" ".join(rest)).sure < 2:
                continue
            place = " ".join(word for word in where if is_one_place(word) or not is_item(word))
            if is_one_place(place):
                item = " ".join(word for word in where if word not in place.split())
                return Across(place.upper(), item.upper(), " ".join(rest))
    return None


def across_of(names: Sequence[str], looks: Sequence[Looks]) -> dict[int, Across]:
    """The columns (counted in ``names``) that are of one position or unit each; none unless at least two
    have a serial number and the lines have none of their own."""
    own = {head_of(name).role for name in names if head_of(name).sure == 3}
    if own & _UNITS:
        return {}
    return ({} if "position" in own else _at_places(names, looks)) or _of_items(names)


def _at_places(names: Sequence[str], looks: Sequence[Looks]) -> dict[int, Across]:
    found = {i: each for i, name in enumerate(names) if (each := across_in(name))}
    bare = {i for i, each in found.items() if not each.rest}
    for i in bare:
        if looks[i].serials >= 0.6 and looks[i].days < 0.2:
            found[i] = Across(found[i].place, found[i].item, SERIAL)
    told = {each.key for each in found.values() if head_of(each.rest).role in _OF_LINES}
    if len(told) < 2:
        return {}
    return {i: each for i, each in found.items() if each.key in told and each.rest}


def _of_items(names: Sequence[str]) -> dict[int, Across]:
    """``PBE 1 S/N``, ``PBE 1 EXP``, ``ELT S/N``; or of one door ``SLIDE S/N``, ``BOTTLE S/N``."""
    every = {i: list(_items_in(name)) for i, name in enumerate(names)}
    told = {
        each.key for found in every.values() for each in found if head_of(each.rest).role in _UNITS
    }
    if len(told) < 2:
        return {}
    chosen = {}
    for i, found in every.items():
        of_told = [each for each in found if each.key in told]
        if of_told:
            chosen[i] = max(of_told, key=lambda each: len(each.key))
    return chosen


def _items_in(name: str) -> Iterator[Across]:
    """Every way to take a heading apart into an item, with its number, and a fact that is known."""
    words = name.split()
    for n in range(1, len(words)):
        first, rest = " ".join(words[:n]), " ".join(words[n:])
        item = re.sub(r"[ #]*(?:NO\.? ?)?\d{1,2}$", "", first, flags=re.IGNORECASE)
        if is_item(item) and head_of(rest).sure >= 2:
            yield Across(first.upper() if item != first else "", item.upper(), rest)
