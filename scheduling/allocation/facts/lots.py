"""A lot of so many pieces serves so many needs: it is cut into supplies, each as many pieces as a need takes.

A need takes all its pieces out of one lot, so that one number stands on what is fitted. Where all needs of a part
take equally many, the cut is the best there is: as many supplies as the lot holds that many. Where they differ, lots
are cut in the order of the needs, what ends first first; what is left over then to the largest that still fits.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace

from fleet.words.said import count_words
from scheduling.matching.facts.facts import NO_LIMIT, PIECES, Need

from .decisions import Decisions, Pair
from .supplies import SupplyFact


def cut_lots(
    needs: Sequence[Need], whole: Sequence[SupplyFact], decisions: Decisions
) -> tuple[list[SupplyFact], tuple[Pair, ...], tuple[Pair, ...]]:
    """(supplies, lots cut; locked pairs; forbidden pairs), by the supplies' keys. Pairs of units that are no supply are
    left out."""
    cutting = _Cutting(needs, [fact for fact in whole if fact.is_lot])
    locked = tuple(cutting.held(pair) for pair in decisions.locked)
    cutting.in_order(dict(decisions.locked))
    cutting.what_is_left()
    supplies = [piece for fact in whole for piece in cutting.pieces(fact)]
    there = {fact.supply.key for fact in supplies}
    pieces_of: dict[str, list[str]] = defaultdict(list)
    for fact in supplies:
        pieces_of[str(fact.unit_id)].append(fact.supply.key)
    forbidden = [(need, key) for need, unit in decisions.forbidden for key in pieces_of[unit]]
    return supplies, tuple(pair for pair in locked if pair[1] in there), tuple(forbidden)


class _Cutting:
    """Lots being cut: of each how many pieces are left, and what was cut from it."""

    def __init__(self, needs: Sequence[Need], lots: Sequence[SupplyFact]) -> None:
        self.needs = sorted(needs, key=lambda need: (need.on, need.key))
        self.asked = {need.key: need.quantity for need in needs}
        ending = sorted(lots, key=lambda lot: (lot.supply.lasts_until or NO_LIMIT, lot.supply.key))
        self.lots = {lot.supply.key: lot for lot in ending}
        self.left = {key: lot.supply.quantity for key, lot in self.lots.items()}
        self.cuts: dict[str, list[int]] = defaultdict(list)
        self.of_part: dict[str, list[str]] = defaultdict(list)
        for key, lot in self.lots.items():
            self.of_part[lot.supply.part].append(key)

    def held(self, pair: Pair) -> Pair:
        """A locked pair by the pieces that are cut for it; as it is where it is of no lot, or too little is left."""
        need, key = pair
        wanted = self.asked.get(need, 0)
        if key not in self.lots or not 0 < wanted <= self.left[key]:
            return pair
        return need, self._cut(key, wanted)

    def in_order(self, held: dict[str, str]) -> None:
        """Each need in its order cuts the lot that ends first and has enough left."""
        for need in self.needs:
            if need.key not in held and (key := self._first(need)) is not None:
                self._cut(key, need.quantity)

    def _first(self, need: Need) -> str | None:
        for part in dict.fromkeys(fit.part for fit in need.fits):
            for key in self.of_part.get(part, ()):
                if self._is_free(key) and self.left[key] >= need.quantity:
                    return key
        return None

    def _is_free(self, key: str) -> bool:
        return self.lots[key].supply.reserved_for is None

    def what_is_left(self) -> None:
        """The rest of each lot, as many supplies as there are needs at most."""
        sizes: dict[str, list[int]] = defaultdict(list)
        for need in self.needs:
            for part in {fit.part for fit in need.fits}:
                sizes[part].append(need.quantity)
        for key, lot in self.lots.items():
            if not self._is_free(key):
                continue
            wanted = sorted(sizes[lot.supply.part], reverse=True)
            for size in wanted:
                if len(self.cuts[key]) < len(wanted) and size <= self.left[key]:
                    self._cut(key, size)

    def _cut(self, key: str, size: int) -> str:
        self.cuts[key].append(size)
        self.left[key] -= size
        return _key(key, len(self.cuts[key]))

    def pieces(self, fact: SupplyFact) -> Iterable[SupplyFact]:
        """The supplies that a unit is; a lot of which no need takes any, or enough, is one as it is."""
        cuts = self.cuts.get(fact.supply.key, []) if fact.is_lot else []
        if not cuts:
            return [fact]
        whole = fact.supply
        return [
            replace(
                fact,
                supply=replace(
                    whole,
                    key=_key(whole.key, number),
                    unit=whole.unit
                    if size == whole.quantity
                    else _of(whole.unit, size, whole.quantity),
                    quantity=size,
                ),
            )
            for number, size in enumerate(cuts, 1)
        ]


def _key(unit: str, number: int) -> str:
    return unit if number == 1 else f"{unit}{PIECES}{number}"


def _of(words: str, size: int, whole: int) -> str:
    return f"{words} ({count_words(size)} of its {count_words(whole)})"
