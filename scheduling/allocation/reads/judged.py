"""Why a unit does or does not cover a need, as the stores and the matching say it together; and what else could."""

from __future__ import annotations

from dataclasses import dataclass, replace

from fleet.house.refusals import Refusal
from scheduling.matching.facts.change import Change
from scheduling.matching.facts.columns import columns_of
from scheduling.matching.facts.costs import Cost, cost_of
from scheduling.matching.facts.facts import unit_of
from scheduling.matching.facts.reasons import Reason
from scheduling.matching.solving.proposal import propose
from scheduling.matching.solving.renew import renew
from scheduling.matching.telling.explain import Difference, difference, explain
from scheduling.matching.telling.why_not import why_not
from scheduling.models import OfferedUnit, PairingRuling, ProposedNeed

from .kept import NeedContext, group_facts

#: The stores' codes, the same by every door, for what the matching names in its own.
CODES = {
    Reason.WRONG_PART.code: "part_does_not_fit",
    Reason.WRONG_STANDARD.code: "part_does_not_fit",
    Reason.WRONG_HAND.code: "part_does_not_fit",
    Reason.WRONG_MSN.code: "part_does_not_fit",
    Reason.SHELF_LIFE_OVER.code: "unit_expired",
    Reason.IN_QUARANTINE.code: "unit_quarantined",
    Reason.UNSERVICEABLE.code: "unit_unserviceable",
    Reason.OWNER_RESTRICTION.code: "unit_of_another_owner",
    Reason.RETURN_DUE.code: "unit_of_another_owner",
    Reason.RESERVED_FOR_ANOTHER.code: "reserved_elsewhere",
}
#: Decided against, not impossible.
CLAIMS = {"reserved_elsewhere", Reason.LOCKED_TO_ANOTHER.code, Reason.FORBIDDEN.code}


@dataclass(frozen=True, slots=True)
class Judged:
    """One unit for one need: ``sentences`` say why it does (or all that is against it), ``cost`` what
    taking it costs; ``taken_by`` is the need that has it in the proposal."""

    offer: OfferedUnit
    sentences: tuple[str, ...]
    against: tuple[Refusal, ...]
    cost: Cost | None
    taken_by: str

    @property
    def key(self) -> str:
        return self.offer.key


def judged(at: NeedContext, key: str) -> Judged:
    """One unit for the need, in words. Refuses with KeyError a unit that is no supply."""
    offer, supply = at.offers[key], at.supplies[key]
    taken = offer.for_key if offer.for_key != at.need.key else ""
    against = tuple(why_not_pair(at, key))
    if against:
        return Judged(offer, tuple(one.message for one in against), against, None, taken)
    found = explain(at.need, supply, at.facts)
    return Judged(offer, found.sentences, (), cost_of(at.facts, at.need, supply), taken)


def why_not_pair(at: NeedContext, key: str) -> list[Refusal]:
    """Every reason against a pairing; the stores' own sentence stands in the place of a shorter one."""
    said = [Refusal(code, words, "unit") for code, words in at.offers[key].said]
    codes = {one.code for one in said}
    if "unit_on_hold" in codes:
        codes.add("unit_quarantined")
    if codes & {"unit_incomplete", "limit_unknown"}:
        codes.add(Reason.NEEDS_DECISION.code)
    found = why_not(at.need, at.supplies[key], at.facts)
    mapped = [Refusal(CODES.get(one.code, one.code), one.message, "unit") for one in found]
    return said + [one for one in mapped if one.code not in codes]


def ranked(at: NeedContext) -> tuple[list[Judged], list[Judged]]:
    """(units that may cover the need, the cheapest first; units of its parts that may not, by name)."""
    parts = {fit.part for fit in at.need.fits}
    every = [judged(at, key) for key in at.one_of_each() if at.offers[key].part in parts]
    able = [one for one in every if one.cost is not None]
    able.sort(key=lambda one: (one.cost.total if one.cost else 0, one.key))
    return able, sorted((one for one in every if one.cost is None), key=lambda one: one.offer.words)


@dataclass(frozen=True, slots=True)
class Effect:
    """What a decision changes, before it is taken, in sentences."""

    found: Difference
    sentences: tuple[str, ...]


def effect_of(row: ProposedNeed, key: str, sort: str) -> Effect:
    """What accepting or locking a pairing, forbidding it, or taking that back would change."""
    facts, words = group_facts(row)
    pair = ((row.key, key),)
    ours = tuple(one for one in facts.locked if row.key == one[0] or key == one[1])
    change = {
        PairingRuling.ACCEPT: Change(lock=pair, unlock=tuple(set(ours) - set(pair))),
        PairingRuling.LOCK: Change(lock=pair, unlock=tuple(set(ours) - set(pair))),
        PairingRuling.FORBID: Change(forbid=pair, unlock=tuple(set(ours) & set(pair))),
        PairingRuling.FREE: Change(unlock=tuple(set(ours) & set(pair)), allow=pair),
    }[sort]
    before = propose(columns_of(facts))
    found = difference(before, renew(before, change))
    return Effect(found, _in_words(found, words))


def next_best(row: ProposedNeed, held: dict[str, str]) -> tuple[str, int] | None:
    """The unit that a proposal of now would give a need, in words, and its cost; None if it is short.

    ``held`` are the units set aside by now, each with the need that it is for.
    """
    facts, words = group_facts(row)
    needs = {need.key for need in facts.needs}
    pairs = {need: unit for unit, need in held.items() if need in needs and unit in words}
    units = set(
        pairs.values()
    )  # what is set aside is a unit of its own: its first key is the unit's
    locked = [one for one in facts.locked if one[0] not in pairs and one[1] not in units]
    gone = set(held) - units
    now = replace(
        facts,
        supplies=tuple(one for one in facts.supplies if str(unit_of(one.key)) not in gone),
        locked=(*locked, *pairs.items()),
    )
    found = propose(columns_of(now)).pairs.get(row.key)
    if found is None:
        return None
    need = next(one for one in now.needs if one.key == row.key)
    supply = next(one for one in now.supplies if one.key == found)
    return words[found], cost_of(now, need, supply).total


def _in_words(found: Difference, words: dict[str, str]) -> tuple[str, ...]:
    if not found.moved:
        return ("Nothing else changes.",)
    said = []
    for moved in found.moved:
        before, after = words.get(moved.before or "", ""), words.get(moved.after or "", "")
        if not after:
            said.append(f"{moved.need} becomes short: {before} is no longer proposed for it.")
        elif not before:
            said.append(f"{moved.need} is met, by {after}.")
        else:
            said.append(f"{moved.need} gets {after} instead of {before}.")
    return (*said, _balance(found))


def _balance(found: Difference) -> str:
    met = found.more_met
    many = "As many needs are met" if not met else f"{abs(met)} need{'s' * (abs(met) != 1)} "
    if met:
        many += "more met" if met > 0 else "fewer met"
    more = found.more_cost
    cost = (
        "at the same cost" if not more else f"at {abs(more)} {'more' if more > 0 else 'less'} cost"
    )
    return f"{many}, {cost}."
