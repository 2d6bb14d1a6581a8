"""What the rules look at: units, places and where units were, as plain data."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import NamedTuple

from fleet.words.said import dated_words

#: However a sheet words it.
SCRAP = "scrap"


class Key(NamedTuple):
    """What orders the movements of a unit: when, the order within the day, the order of record."""

    at: datetime
    day_order: int
    tail: int


class Span(NamedTuple):
    """A unit was at a place from an instant until another; None is until further notice.

    ``since`` is the day where it happened that ``start`` falls on, for sentences.
    """

    unit_id: int
    place_id: int
    start: datetime
    end: datetime | None
    since: date
    quantity: int = 1


def is_overlapping(start: datetime, end: datetime | None, span: Span) -> bool:
    """Half-open: what ends when another begins does not overlap it."""
    return (end is None or span.start < end) and (span.end is None or start < span.end)


@dataclass(frozen=True, slots=True)
class Link:
    """One movement of a unit's chain. ``movement_id`` is None of one that is not recorded yet."""

    key: Key
    place_id: int
    day: date
    quantity: int = 1
    movement_id: int | None = None


@dataclass(frozen=True, slots=True)
class PlaceFacts:
    """A place: its words for sentences, what it holds (0: any number), where it is. ``left_on``: the day
    from which its aircraft has left the fleet."""

    id: int
    sort: str
    words: str
    holds: int = 0
    parent_unit_id: int | None = None
    aircraft_id: int | None = None
    type_position_id: int | None = None
    part_position_id: int | None = None
    msn: str = ""
    name: str = ""
    aircraft_position_id: int | None = None
    kind_id: int | None = None
    kind: str = ""
    left_on: date | None = None

    @property
    def is_scrap(self) -> bool:
        return self.sort == "gone" and self.name.strip().lower().startswith(SCRAP)


@dataclass(frozen=True, slots=True)
class Identity:
    """What a unit is from a day on."""

    from_on: date
    part_id: int
    standard: str


@dataclass(frozen=True, slots=True)
class UnitFacts:
    """A unit: its words, what it was when, and since when it exists."""

    id: int
    words: str
    identities: tuple[Identity, ...]
    manufactured_on: date | None = None
    manufactured_precision: str = "day"
    quantity: int = 1

    def identity_on(self, day: date) -> Identity:
        """What it was on a day; identities are in order, the first from the beginning."""
        held = [identity for identity in self.identities if identity.from_on <= day]
        return held[-1] if held else self.identities[0]

    @property
    def made(self) -> str:
        return dated_words(self.manufactured_on, self.manufactured_precision)


@dataclass(frozen=True, slots=True)
class FitFacts:
    """A part may occupy a position, on aircraft of these MSNs, at these standards (none: any).

    ``is_both_sides``: only while what is at the mirrored position is the same.
    """

    part_id: int
    msn_from: str = ""
    msn_to: str = ""
    standards: tuple[str, ...] = ()
    is_both_sides: bool = False
    document: str = ""


@dataclass(frozen=True, slots=True)
class StateFacts:
    """From this day a position of an aircraft is active, deactivated or absent, by a document."""

    from_on: date
    state: str
    document: str


@dataclass(slots=True)
class Totals:
    """The nearest totals of an aircraft on other days: what one of its totals must lie between."""

    minutes_before: int | None = None
    minutes_after: int | None = None
    cycles_before: int | None = None
    cycles_after: int | None = None


@dataclass(slots=True)
class Chain:
    """The movements of one unit that hold, in order."""

    unit_id: int
    links: list[Link] = field(default_factory=list)

    def add(self, link: Link) -> None:
        self.links.append(link)
        self.links.sort(key=lambda each: each.key)

    def take_out(self, movement_ids: frozenset[int]) -> list[Link]:
        """This will take the links of these movements out and give them back."""
        taken = [link for link in self.links if link.movement_id in movement_ids]
        self.links = [link for link in self.links if link.movement_id not in movement_ids]
        return taken

    def before(self, key: Key) -> Link | None:
        """The last movement before this point of the order."""
        found = None
        for link in self.links:
            if link.key >= key:
                break
            found = link
        return found

    def spans(self) -> Iterator[tuple[Link, Span]]:
        """Each movement with the stay that it begins; stays of no length are left out."""
        for index, link in enumerate(self.links):
            following = self.links[index + 1].key.at if index + 1 < len(self.links) else None
            if following is None or following > link.key.at:
                start, day = link.key.at, link.day
                yield link, Span(self.unit_id, link.place_id, start, following, day, link.quantity)


@dataclass(frozen=True, slots=True)
class Edit:
    """What one row of a call would change: a link more, and the links that it replaces or annuls.

    ``row`` is its index in the call; ``units`` every unit that gains or loses a link by it.
    """

    row: int
    unit_id: int
    units: frozenset[int]
    sort: str = ""
    link: Link | None = None
    removes: frozenset[int] = frozenset()
    precision: str = "instant"
    minutes: int | None = None
    cycles: int | None = None
    off: int | None = None


@dataclass(slots=True)
class Picture:
    """All that is known about the units and places of one call.

    ``chains`` holds the units of the call; ``others`` the stays of all other units at positions
    that the call touches; ``inside`` the stays inside units of those further out.
    """

    places: dict[int, PlaceFacts]
    units: dict[int, UnitFacts]
    chains: dict[int, Chain]
    others: dict[int, list[Span]] = field(default_factory=dict)
    inside: dict[int, list[Span]] = field(default_factory=dict)
    #: (type position, None) or (None, part position) -> what is listed for it
    fits: dict[tuple[int | None, int | None], list[FitFacts]] = field(default_factory=dict)
    #: part -> the parts that it may stand for
    alternates: dict[int, frozenset[int]] = field(default_factory=dict)
    #: aircraft position -> its dated states, in order
    states: dict[int, list[StateFacts]] = field(default_factory=dict)
    #: part -> its kind (key, name); only where a position without any list is to be judged
    kinds: dict[int, tuple[int, str]] = field(default_factory=dict)
    #: aircraft position -> the place across from it, where some fit asks for both sides the same
    mirrors: dict[int, int] = field(default_factory=dict)
    #: by row of the call
    totals: dict[int, Totals] = field(default_factory=dict)
