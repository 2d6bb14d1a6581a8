"""The book in which the demonstration's facts are gathered before they are written as sheets."""

from __future__ import annotations

import random
from collections import Counter, defaultdict
from dataclasses import dataclass, field
from datetime import date

from dateutil.relativedelta import relativedelta

from demo_fixtures.shift import MONTHS

from .aircraft import Aircraft
from .operator import REFERENCE
from .parts import BY_NUMBER
from .programme import from_reference


@dataclass(frozen=True, slots=True)
class Stamp:
    """A month and a year, as stamped on a bottle; no day is known."""

    year: int
    month: int
    is_named: bool = False

    def __str__(self) -> str:
        if self.is_named:
            return f"{MONTHS[self.month - 1]} {self.year % 100:02d}"
        return f"{self.month:02d}/{self.year}"

    @property
    def first(self) -> date:
        return date(self.year, self.month, 1)


Dated = date | Stamp


def stamp_of(day: date) -> Stamp:
    """The month a day lies in."""
    return Stamp(day.year, day.month)


def months_before(day: date, months: int) -> date:
    """So many months earlier; the last day of a short month stands for a day it lacks."""
    return day - relativedelta(months=months)


def days_to(day: date) -> int:
    """Days from the reference day."""
    return (day - REFERENCE).days


@dataclass(frozen=True, slots=True)
class Key:
    """What a unit is known by: its original part number and serial number."""

    part: str
    serial: str

    @property
    def maker(self) -> str:
        return BY_NUMBER[self.part].maker


@dataclass(frozen=True, slots=True)
class Spotted:
    """A place: one of a position of an aircraft, a position inside a unit, a store, a shop..."""

    sort: str
    aircraft: str = ""
    position: str = ""
    parent: Key | None = None
    station: str = ""
    name: str = ""


@dataclass(slots=True)
class UnitFact:
    key: Key
    made: Dated | None
    standard: str = ""
    quantity: int = 1
    split_from: str = ""
    life_months: int | None = None
    note: str = ""


@dataclass(slots=True)
class Move:
    key: Key
    sort: str
    to: Spotted
    on: date
    order: int = 0
    minutes: int | None = None
    cycles: int | None = None
    page: str = ""
    document: str = ""
    reason: str = ""
    quantity: int = 1
    reference: str = ""
    corrects: str = ""


@dataclass(slots=True)
class WorkFact:
    work: str
    on: Dated
    key: Key | None = None
    aircraft: str = ""
    position: str = ""
    limit: str = ""
    method: str = ""
    minutes: int | None = None
    cycles: int | None = None
    released: date | None = None
    shop_released: date | None = None
    original_due: date | None = None
    who: str = ""
    document: str = ""
    certificate: str = ""


@dataclass(slots=True)
class LifeFact:
    key: Key
    measure: str
    on: date
    total: int
    source: str
    quality: str = "certificate"
    since: str = "new"


@dataclass(slots=True)
class PaperFact:
    key: Key
    number: str
    on: date
    issuer: str
    status: str


@dataclass(slots=True)
class TitleFact:
    key: Key
    sort: str
    owner: str
    on: date
    return_by: date | None = None
    core_due: date | None = None
    customs: str = ""
    restriction: str = ""
    document: str = ""


@dataclass(slots=True)
class Book:
    """Everything that was gathered, in the order it was told; ``taken`` are the filled places."""

    rng: random.Random
    units: list[UnitFact] = field(default_factory=list)
    moves: list[Move] = field(default_factory=list)
    works: list[WorkFact] = field(default_factory=list)
    lives: list[LifeFact] = field(default_factory=list)
    papers: list[PaperFact] = field(default_factory=list)
    titles: list[TitleFact] = field(default_factory=list)
    taken: set[tuple[str, str]] = field(default_factory=set)
    filled: Counter[tuple[str, str]] = field(default_factory=Counter)
    serials: dict[str, int] = field(default_factory=lambda: defaultdict(lambda: 1000))
    pages: int = 20000
    papers_made: int = 3000

    def unit(self, part: str, made: Dated | None, serial: str = "", **more: object) -> Key:
        """This will enter a unit; without a serial number it gets the next of its letter."""
        prefix = BY_NUMBER[part].serial
        if not serial:
            self.serials[prefix] += 1
            serial = f"{prefix}{self.serials[prefix]}"
        key = Key(part, serial)
        self.units.append(UnitFact(key, made, **more))  # type: ignore[arg-type]
        return key

    def receive(self, key: Key, on: date, station: str = "QVMR", quantity: int = 1) -> None:
        """This will take a unit into the store of a station."""
        place = Spotted("store", station=station)
        self.moves.append(
            Move(key, "received", place, on, quantity=quantity, document=self._paper_number())
        )

    def install(
        self, key: Key, craft: Aircraft, position: str, on: date, quantity: int = 1
    ) -> None:
        """This will fit a unit to an aircraft, with the aircraft's totals where they are read."""
        self.taken.add((craft.registration, position))
        self.filled[craft.registration, position] += quantity
        self.pages += 1
        day = days_to(on)
        minutes, cycles = craft.total_at(day - 1) if day > craft.readings_from else (None, None)
        place = Spotted("aircraft", craft.registration, position)
        self.moves.append(
            Move(
                key,
                "installed",
                place,
                on,
                2,
                minutes,
                cycles,
                f"VL-{self.pages}",
                quantity=quantity,
            )
        )

    def nest(self, key: Key, parent: Key, position: str, on: date) -> None:
        """This will fit a unit inside another."""
        place = Spotted("inside", position=position, parent=parent)
        self.moves.append(Move(key, "installed", place, on, 1))

    def move(self, key: Key, sort: str, to: Spotted, on: date, **more: object) -> Move:
        """This will enter any other movement."""
        made = Move(key, sort, to, on, **more)  # type: ignore[arg-type]
        self.moves.append(made)
        return made

    def work(self, work: str, key: Key, on: Dated, **more: object) -> None:
        """This will enter a work done on a unit in a shop, with its certificate."""
        more.setdefault("who", "Varrowmoor workshop")
        self.works.append(WorkFact(work, on, key, **more))  # type: ignore[arg-type]

    def life(
        self, key: Key, measure: str, on: date, total: int, source: str = "unit card", **more: str
    ) -> None:
        """This will state a total of a unit, at the end of a day."""
        self.lives.append(LifeFact(key, measure, on, total, source, **more))

    def paper(self, key: Key, on: date, status: str, issuer: str = "Varrowmoor workshop") -> str:
        """This will enter a release certificate and return its number."""
        number = self._paper_number()
        self.papers.append(PaperFact(key, number, on, issuer, status))
        return number

    def _paper_number(self) -> str:
        self.papers_made += 1
        return f"VW-{self.papers_made}"


def day(days: int) -> date:
    """The day so many days from the reference day."""
    return from_reference(days)
