"""What people decided: units set aside, pairings locked and forbidden, as of now."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from equipment.common.wording import PLACE_PARTS, place_words
from equipment.models import Reservation
from fleet.words.said import day_words
from scheduling.models import PairingRuling

from .needs import NeedFact

Pair = tuple[str, str]


@dataclass(frozen=True, slots=True)
class SetAside:
    """A unit that somebody set aside: for which need of this plan (empty: for another use, in words)."""

    unit_id: int
    need_key: str
    words: str


@dataclass(frozen=True, slots=True)
class Decisions:
    """``set_aside`` by unit; ``locked`` and ``forbidden`` as the matching takes them."""

    set_aside: dict[int, SetAside] = field(default_factory=dict)
    locked: tuple[Pair, ...] = ()
    forbidden: tuple[Pair, ...] = ()


def decisions_on(needs: Sequence[NeedFact]) -> Decisions:
    """What was decided about these needs and about any unit. Two questions.

    A unit that is set aside for a need is locked to it. Of two locks that contradict each other the
    later one holds.
    """
    aside = _set_aside(needs)
    pairs = {one.need_key: str(unit) for unit, one in aside.items() if one.need_key}
    locks, forbidden = _ruled(needs)
    taken = set(pairs.values())
    for (need, unit), is_lot in locks:
        # A lot may be held to several needs: each has its own pieces of it.
        if need not in pairs and (is_lot or unit not in taken):
            pairs[need] = unit
            taken.add(unit)
    return Decisions(aside, tuple(sorted(pairs.items())), tuple(sorted(forbidden)))


def _set_aside(needs: Sequence[NeedFact]) -> dict[int, SetAside]:
    at_place: dict[int, list[NeedFact]] = {}
    for fact in sorted(needs, key=lambda fact: (fact.need.on, fact.need.key)):
        at_place.setdefault(fact.row.place_id, []).append(fact)
    parts = (f"place__{part}" for part in PLACE_PARTS)
    active = Reservation.objects.filter(ended_at=None).select_related("ruling", *parts)
    found = {}
    for row in active.order_by("pk"):
        ruling = getattr(row, "ruling", None)
        wanted = _need_of(at_place.get(row.place_id, []), ruling)
        if wanted is not None:
            at_place[row.place_id].remove(wanted)
        words = f"{place_words(row.place)} on {day_words(row.need_on)}"
        found[row.unit_id] = SetAside(row.unit_id, wanted.need.key if wanted else "", words)
    return found


def _need_of(there: list[NeedFact], ruling: PairingRuling | None) -> NeedFact | None:
    """The need at the place that a unit was set aside for; by its ruling where there is one."""
    if ruling is None:
        return next(iter(there), None)
    came = (ruling.unit_off_id, ruling.piece)
    return next((fact for fact in there if fact.came == came), None)


def _ruled(needs: Sequence[NeedFact]) -> tuple[list[tuple[Pair, bool]], list[Pair]]:
    """(locked, forbidden) pairs, of each pair by its latest ruling; the latest lock first, with whether it is of a lot."""
    key_of = {fact.came: fact.need.key for fact in needs}
    rulings = PairingRuling.objects.exclude(sort=PairingRuling.ACCEPT)
    rulings = rulings.filter(unit_off__in={off for off, _ in key_of})
    latest: dict[tuple[tuple[int, int], int], tuple[str, bool]] = {}
    names = ("unit_off", "piece", "unit", "sort", "unit__part_number__is_lot")
    for off, piece, unit, sort, is_lot in rulings.order_by("-pk").values_list(*names):
        if (off, piece) in key_of:
            latest.setdefault(((off, piece), unit), (sort, is_lot))
    pairs = [((key_of[came], str(unit)), *said) for (came, unit), said in latest.items()]
    locked = [(pair, is_lot) for pair, sort, is_lot in pairs if sort == PairingRuling.LOCK]
    return locked, [pair for pair, sort, _ in pairs if sort == PairingRuling.FORBID]
