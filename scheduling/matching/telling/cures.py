"""What would meet a need that is short, the cheapest first: each cure is one act that somebody can do.

A cure is offered only once the whole allocation was solved anew as if it were done (:mod:`anew`): it meets the need,
and leaves no other short that was met.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from fleet.words.said import day_words, days_words
from scheduling.matching.facts.change import Change
from scheduling.matching.facts.facts import Facts, Fit, Need, Supply, unit_of, whole_of

from .explain import first_day_there
from .why_not import why_not


@dataclass(frozen=True, slots=True)
class CurePrices:
    """What a day of hurrying a shop order and of moving a check weighs, and the flat price of a loan
    between stations and of an alternate that must first be approved. Whole numbers; the order of
    cures follows them."""

    hurry_day: int = 20
    check_day: int = 50
    lend: int = 100
    alternate: int = 500


@dataclass(frozen=True, slots=True)
class Asked:
    """What may be done. ``latest_on``: by need, the last day to which its check may move (the unit that is
    on must last until then, and whatever else is done there); ``together``: by need, the keys of all needs at its check,
    which move with it; ``released``: by need, the key of the unit that comes off there, which waits for nothing that it
    would serve; ``alternates``: pairs (part that goes there, part that could stand for it);
    ``lend_days``: how long a transport takes that is arranged for one unit."""

    latest_on: Mapping[str, date] = field(default_factory=dict)
    together: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    released: Mapping[str, str] = field(default_factory=dict)
    alternates: frozenset[tuple[str, str]] = frozenset()
    lend_days: int = 2
    prices: CurePrices = field(default_factory=CurePrices)


@dataclass(frozen=True, slots=True)
class Cure:
    """One act and what it weighs. ``sort``: hurry, move_check, lend or alternate; ``days`` of hurry or
    of moving."""

    sort: str
    supply: str
    days: int
    price: int
    sentence: str
    change: Change = field(default_factory=Change, compare=False, repr=False)

    @property
    def unit_id(self) -> int:
        """The unit whose supply it is, whichever pieces of a lot."""
        return unit_of(self.supply)


def possible_cures(need: Need, facts: Facts, free: Iterable[Supply], asked: Asked) -> list[Cure]:
    """Every single act that would meet the need as it stands alone, the cheapest first, with what it changes. ``free``
    are the units that the proposal leaves over; the unit that comes off there is none of them."""
    acts = (_hurry, _move_check, _lend, _alternate)
    off = {asked.released[one] for one in _moving(need, asked) if one in asked.released}
    others = [supply for supply in free if whole_of(supply.key) not in off]
    found = [act(need, supply, facts, asked) for supply in others for act in acts]
    cures = [cure for cure in found if cure is not None]
    return sorted(cures, key=lambda cure: (cure.price, cure.sort, cure.supply))


def _moving(need: Need, asked: Asked) -> tuple[str, ...]:
    return tuple(dict.fromkeys((need.key, *asked.together.get(need.key, ()))))


def _days_late(need: Need, supply: Supply, facts: Facts) -> int:
    there = first_day_there(need, supply, facts)
    return max((there - need.on).days, 0) if there else 0


def _hurry(need: Need, supply: Supply, facts: Facts, asked: Asked) -> Cure | None:
    days = _days_late(need, supply, facts)
    if supply.free_from is None or not 0 < days <= supply.hurry_days:
        return None
    sooner = replace(supply, free_from=supply.free_from - timedelta(days=days))
    if why_not(need, sooner, facts):
        return None
    sentence = f"Hurry {supply.unit} out of the shop by {days_words(days)}."
    change = Change(supplies=(sooner,))
    return Cure("hurry", supply.key, days, days * asked.prices.hurry_day, sentence, change)


def _move_check(need: Need, supply: Supply, facts: Facts, asked: Asked) -> Cure | None:
    days = _days_late(need, supply, facts)
    moved = replace(need, on=need.on + timedelta(days=days))
    latest = asked.latest_on.get(need.key)
    if not days or latest is None or moved.on > latest or why_not(moved, supply, facts):
        return None
    sentence = f"Move the check by {days_words(days)} to {day_words(moved.on)}: {supply.unit} is there by then."
    change = _with_its_check(need, days, facts, asked)
    return Cure("move_check", supply.key, days, days * asked.prices.check_day, sentence, change)


def _with_its_check(need: Need, days: int, facts: Facts, asked: Asked) -> Change:
    """Everything at the check is needed later, and what comes off there is back later by as much."""
    keys, later = set(_moving(need, asked)), timedelta(days=days)
    off = {asked.released[key] for key in keys if key in asked.released}
    needs = [replace(one, on=one.on + later) for one in facts.needs if one.key in keys]
    back = [
        replace(one, free_from=one.free_from + later)
        for one in facts.supplies
        if whole_of(one.key) in off and one.free_from is not None
    ]
    return Change(needs=tuple(needs), supplies=tuple(back))


def _lend(need: Need, supply: Supply, facts: Facts, asked: Asked) -> Cure | None:
    """Dangerous goods are left out: what may carry them cannot be arranged here."""
    if supply.free_from is None or supply.is_dangerous or supply.station == need.station:
        return None
    sent = supply.free_from + timedelta(days=asked.lend_days)
    brought = replace(supply, station=need.station, free_from=sent)
    if not why_not(need, supply, facts) or why_not(need, brought, facts):
        return None
    sentence = f"Lend {supply.unit} from {supply.station}, by a transport arranged for it."
    return Cure("lend", supply.key, 0, asked.prices.lend, sentence, Change(supplies=(brought,)))


def _alternate(need: Need, supply: Supply, facts: Facts, asked: Asked) -> Cure | None:
    stands_for = [fit for fit in need.fits if (fit.part, supply.part) in asked.alternates]
    widened = replace(
        need, fits=(*need.fits, *(_in_place_of(fit, supply.part) for fit in stands_for))
    )
    if not stands_for or not why_not(need, supply, facts) or why_not(widened, supply, facts):
        return None
    sentence = (
        f"Approve {supply.part} as an alternate of {stands_for[0].part}, and fit {supply.unit}."
    )
    change = Change(needs=(widened,))
    return Cure("alternate", supply.key, 0, asked.prices.alternate, sentence, change)


def _in_place_of(fit: Fit, part: str) -> Fit:
    """The same place for another part: its standards are its own, so none is asked."""
    return replace(fit, part=part, standards=())
