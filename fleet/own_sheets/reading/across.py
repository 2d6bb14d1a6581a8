"""A column, or some, for each position: the place stands in the heading, the unit in the cell below it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from fleet.own_sheets.words.heads import head_of
from fleet.own_sheets.words.items import is_item
from fleet.own_sheets.words.places import is_one_place

from .contents import Looks

SERIAL = "S/N"
_OF_LINES = frozenset({"serial", "part_serial", "position"})


@dataclass(frozen=True, slots=True)
class Across:
    """A heading taken apart: where, what (empty if not said), and what is left of it."""

    place: str
    item: str
    rest: str

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
    """The columns (counted in ``names``) that are of one position each; none unless at least two
    positions have a serial number and the lines have none of their own."""
    if any(head_of(name).sure == 3 and head_of(name).role in _OF_LINES for name in names):
        return {}
    found = {i: each for i, name in enumerate(names) if (each := across_in(name))}
    bare = {i for i, each in found.items() if not each.rest}
    for i in bare:
        if looks[i].serials >= 0.6 and looks[i].days < 0.2:
            found[i] = Across(found[i].place, found[i].item, SERIAL)
    told = {each.key for each in found.values() if head_of(each.rest).role in _OF_LINES}
    if len(told) < 2:
        return {}
    return {i: each for i, each in found.items() if each.key in told and each.rest}
