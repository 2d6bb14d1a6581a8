"""What the house has on record already, as far as an own spreadsheet is read by it. Plain data."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from .said import Said, word_key
from .stamped import NOTHING, StampSaid, StampTold, Tell, said_of_stamp
from .unit import Seen
from .words.items import kind_of
from .words.marks import bare
from .words.places import Place, place_of


@dataclass(frozen=True, slots=True)
class Position:
    """A position of a type's layout on record."""

    type: str
    code: str
    name: str
    kind: str


@dataclass(slots=True)
class House:
    """Codes and names on record: kinds, stations, types, aircraft with their type, positions, measures."""

    kinds: dict[str, str] = field(default_factory=dict)
    stations: dict[str, str] = field(default_factory=dict)
    types: dict[str, str] = field(default_factory=dict)
    aircraft: dict[str, str] = field(default_factory=dict)
    positions: Sequence[Position] = ()
    measures: frozenset[str] = frozenset()
    zone: str = "UTC"
    #: The latest totals read of aircraft, by registration and ``fh`` or ``fc``: minutes, or a count.
    totals: dict[tuple[str, str], int] = field(default_factory=dict)
    #: Tells what is stamped on a cylinder; None where nobody is asked.
    tell_stamp: Tell | None = None
    # What words meant so far: a house is read for one reading of one workbook.
    _kinds: dict[str, tuple[str, str]] = field(default_factory=dict)
    _places: dict[str, Place] = field(default_factory=dict)
    _positions: dict[tuple[str, str], _OfKind] | None = None
    _stamps: dict[StampSaid, StampTold] = field(default_factory=dict)

    def kind(self, word: str, said: Said) -> tuple[str, str]:
        """Code and name of the kind that a word of the sheet means."""
        if word not in self._kinds:
            self._kinds[word] = self._kind(word, said)
        return self._kinds[word]

    def _kind(self, word: str, said: Said) -> tuple[str, str]:
        return kind_of(said.kinds.get(word_key(word)) or word, self.kinds)

    def stamp(self, one: Seen) -> StampTold:
        """What is stamped on a unit that a line tells of, as it was told to mean; nothing of what is none."""
        said = said_of_stamp(one)
        if said is None or self.tell_stamp is None:
            return NOTHING
        if said not in self._stamps:
            self._stamps[said] = self.tell_stamp(said)
        return self._stamps[said]

    def place(self, word: str, said: Said) -> Place:
        """The place that a word of the sheet means."""
        if word not in self._places:
            self._places[word] = place_of(said.places.get(word_key(word)) or word)
        return self._places[word]

    def has_position(self, type_code: str, code: str, kind: str) -> bool:
        """Whether a position of this very code is on record: where it is drawn is not said anew."""
        return any(
            (each.type, each.code, each.kind) == (type_code, code, kind) for each in self.positions
        )

    def position(self, type_code: str, place: Place, kind: str, word: str) -> Position | None:
        """The position on record that is meant: one of that kind whose code or name says this place."""
        if self._positions is None:
            self._positions = _by_their_words(self.positions)
        of_kind = self._positions.get((type_code, kind))
        if of_kind is None:
            return None
        named = [
            of_kind.by_name[each]
            for each in (bare(word), bare(place.name))
            if each in of_kind.by_name
        ]
        if named:
            return min(named, key=lambda each: each[0])[1]
        said = of_kind.by_place.get(place.code, [])
        return said[0] if len(said) == 1 else None


@dataclass(slots=True)
class _OfKind:
    """Positions of one type and kind, by the words that name each (the first of several, with its turn)
    and by the places that their words may mean."""

    by_name: dict[str, tuple[int, Position]] = field(default_factory=dict)
    by_place: dict[str, list[Position]] = field(default_factory=dict)


def _by_their_words(positions: Sequence[Position]) -> dict[tuple[str, str], _OfKind]:
    found: dict[tuple[str, str], _OfKind] = {}
    for turn, position in enumerate(positions):
        of_kind = found.setdefault((position.type, position.kind), _OfKind())
        for name in (position.code, position.name):
            of_kind.by_name.setdefault(bare(name), (turn, position))
        for code in _places_meant(position):
            of_kind.by_place.setdefault(code, []).append(position)
    return found


def _places_meant(position: Position) -> set[str]:
    names = {
        position.code,
        position.code.partition("-")[0],
        position.name,
        position.name.partition(",")[0],
    }
    return {place_of(name).code for name in names}
