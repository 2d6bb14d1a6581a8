"""The facts of an allocation: needs, supplies, ways between stations, prices, and what was ruled.

A day is a date without a zone; a date that is the end of something is its last good day.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

NO_LIMIT = date.max
HOURS, CYCLES = "hours", "cycles"
#: Stands in a supply's key between the unit's own and which of its pieces it is, of a lot that was cut.
PIECES = "#"


def whole_of(key: str) -> str:
    """The key of the whole of which a supply is pieces."""
    return key.partition(PIECES)[0]


def unit_of(key: str) -> int:
    """The unit of a supply's key, whichever pieces of it."""
    return int(whole_of(key))


@dataclass(frozen=True, slots=True)
class Fit:
    """A part that may go where the need is. Empty ``standards``: all of them; ``hand`` empty:
    either side; ``msn_from`` and ``msn_to`` bound the aircraft, empty is no bound."""

    part: str
    standards: tuple[str, ...] = ()
    hand: str = ""
    msn_from: str = ""
    msn_to: str = ""


@dataclass(frozen=True, slots=True)
class Rate:
    """How fast an aircraft uses up ``measure`` (``HOURS`` in minutes, ``CYCLES``, or a further one by its
    name): so much ``gain`` in so many ``seconds``."""

    measure: str
    gain: int
    seconds: int


@dataclass(frozen=True, slots=True)
class Left:
    """What a unit has left of a measure that runs only while it is fitted: ``HOURS`` in minutes,
    ``CYCLES``, or a further one by its name (``in_minutes``: it is of hours too)."""

    measure: str
    amount: int
    in_minutes: bool = False

    @property
    def is_hours(self) -> bool:
        return self.in_minutes or self.measure == HOURS


@dataclass(frozen=True, slots=True)
class Need:
    """A planned removal that needs another unit.

    ``opportunities`` are days on which the position can be reached; those after ``on`` count: a unit
    must last until the first of them. ``least_days`` is the life that must be left at issue. ``owners``
    names whose units may be fitted (None: anybody's). ``rates`` are those of the aircraft: what a unit
    has left in hours, cycles or another measure lasts here as long as they say, from ``on``. ``dual_release``
    names the rules that ask for a certificate of both authorities on this aircraft; empty if none do. ``quantity``
    is how many pieces come off, of what is tracked by batch; all of them are taken out of one lot.
    """

    key: str
    family: str
    on: date
    station: str
    msn: str
    fits: tuple[Fit, ...]
    opportunities: tuple[date, ...] = ()
    least_days: int = 0
    owners: frozenset[str] | None = None
    rates: tuple[Rate, ...] = ()
    dual_release: str = ""
    quantity: int = 1

    @property
    def until(self) -> date:
        """The day that the unit must reach: the next opportunity, or the day of the need itself
        when none is planned."""
        return min((day for day in self.opportunities if day > self.on), default=self.on)


@dataclass(frozen=True, slots=True)
class Supply:
    """A unit at the time it can serve: in a store now, expected from the shop, or released by an
    earlier planned removal after the shop's turn time.

    ``free_from`` is the first day it can leave its station (None: not known), ``lasts_until`` the last
    good day of itself and all inside it by what runs on the shelf too (None: not known; ``NO_LIMIT``:
    nothing ends), ``needs_decision`` that something inside it is missing or a limit not known, ``left`` what ends it in hours, cycles or another measure once it is fitted. A unit that is still to come counts as serviceable and with its certificate when it is expected so. ``only_msns``
    and ``return_by`` are what another owner lets us do with it. ``turn_days`` is what the shop is expected
    to take, ``hurry_days`` by how much it could be quicker. ``has_dual_release``: its certificate is of both
    authorities' rules, or is expected so. ``quantity`` is how many pieces it is, of a lot: a lot that serves several
    needs is cut before, each piece of it a supply of its own.
    """

    key: str
    unit: str
    part: str
    station: str
    free_from: date | None
    lasts_until: date | None
    standard: str = ""
    hand: str = ""
    shelf_until: date = NO_LIMIT
    has_certificate: bool = True
    is_serviceable: bool = True
    is_quarantined: bool = False
    needs_decision: bool = False
    reserved_for: str | None = None
    owner: str = ""
    only_msns: frozenset[str] | None = None
    return_by: date = NO_LIMIT
    is_dangerous: bool = False
    source: str = "store"
    turn_days: int = 0
    hurry_days: int = 0
    left: tuple[Left, ...] = ()
    has_dual_release: bool = True
    quantity: int = 1


@dataclass(frozen=True, slots=True)
class Way:
    """Transport from one station to another: whole days, and what it costs. Nothing goes where
    no way is given. ``is_dangerous``: the way that dangerous goods may take."""

    origin: str
    station: str
    days: int
    cost: int = 0
    is_dangerous: bool = False


@dataclass(frozen=True, slots=True)
class Prices:
    """What a day of life thrown away, a day left on the shelf clock and a unit of freight weigh
    against each other: whole numbers, none below nought."""

    life_day: int = 1
    shelf_day: int = 1
    freight: int = 1

    def __post_init__(self) -> None:
        if min(self.life_day, self.shelf_day, self.freight) < 0:
            raise ValueError("A price is a whole number of nought or more.")


@dataclass(frozen=True, slots=True)
class Facts:
    """All that an allocation is made from. ``locked`` and ``forbidden`` are pairs (need, supply):
    a need and a supply locked together go with nobody else."""

    needs: tuple[Need, ...]
    supplies: tuple[Supply, ...]
    ways: tuple[Way, ...] = ()
    prices: Prices = field(default_factory=Prices)
    locked: tuple[tuple[str, str], ...] = ()
    forbidden: tuple[tuple[str, str], ...] = ()
