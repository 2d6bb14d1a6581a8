"""Cures that hold: each solved anew with all that it changes, before anybody is told of it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from fleet.words.said import count_words
from scheduling.matching.facts.columns import columns_of
from scheduling.matching.facts.facts import Facts, Need, Supply
from scheduling.matching.solving.proposal import Proposal, propose
from scheduling.matching.solving.renew import renew

from .cures import Asked, Cure, possible_cures
from .explain import difference

#: So many cures of a need at most are solved anew: the cheapest that hold.
MOST = 10


def cures_for(
    need: Need,
    facts: Facts,
    free: Iterable[Supply],
    asked: Asked,
    *,
    before: Proposal | None = None,
    most: int = MOST,
) -> list[Cure]:
    """The cheapest single acts that would meet the need and leave no other short that is met, as solved anew over
    all of ``facts`` (``before``: their proposal, where it is made already). Each says which others it moves."""
    possible = possible_cures(need, facts, free, asked) if most else []
    if not possible:
        return []
    now = before or propose(columns_of(facts))
    found: list[Cure] = []
    for cure in possible:
        if len(found) == most:
            break
        after = renew(now, cure.change)
        if need.key in after.pairs and set(now.pairs) <= set(after.pairs):
            found.append(_with_others(cure, need, now, after))
    return found


def _with_others(cure: Cure, need: Need, now: Proposal, after: Proposal) -> Cure:
    """The cure, saying what else it moves; another unit may be the one that then covers the need."""
    others = [one for one in difference(now, after).moved if one.need != need.key]
    if not others:
        return cure
    many = len(others)
    words = (
        "1 other need takes another unit"
        if many == 1
        else (f"{count_words(many)} other needs take other units")
    )
    return replace(cure, sentence=f"{cure.sentence} {words} then; none of them is short.")
