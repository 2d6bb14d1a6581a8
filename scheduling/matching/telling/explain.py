"""A pairing in words, what else could cover a need, and what another decision would change."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from fleet.house.refusals import Refusal
from fleet.words.said import count_words, day_words, days_words
from scheduling.matching.facts.costs import Cost, cost_of
from scheduling.matching.facts.facts import NO_LIMIT, Facts, Need, Supply
from scheduling.matching.facts.lasting import lasts_at, left_words
from scheduling.matching.solving.proposal import Proposal

from .why_not import days_on_the_way, why_not


@dataclass(frozen=True, slots=True)
class Explained:
    """One pairing: why it is possible, or all that is against it, and what it costs."""

    need: str
    supply: str
    sentences: tuple[str, ...]
    against: tuple[Refusal, ...]
    cost: Cost | None


@dataclass(frozen=True, slots=True)
class Moved:
    """A need whose unit differs between two proposals; None is short."""

    need: str
    before: str | None
    after: str | None


@dataclass(frozen=True, slots=True)
class Difference:
    """What another decision changes: needs with another unit, how many more are met, what it costs more."""

    moved: tuple[Moved, ...]
    more_met: int
    more_cost: int


def explain(need: Need, supply: Supply, facts: Facts) -> Explained:
    """Why this unit covers this need, sentence by sentence, or why it cannot."""
    against = tuple(why_not(need, supply, facts))
    if against:
        words = tuple(one.message for one in against)
        return Explained(need.key, supply.key, words, against, None)
    cost = cost_of(facts, need, supply)
    sentences = (_arrival(need, supply, facts), *_life(need, supply), *cost_words(cost, facts))
    return Explained(need.key, supply.key, sentences, (), cost)


def _arrival(need: Need, supply: Supply, facts: Facts) -> str:
    days = days_on_the_way(need, supply, facts)
    assert supply.free_from is not None and days is not None, "nothing is against this pairing"
    there = day_words(supply.free_from + timedelta(days=days))
    way = f" and needs {days_words(days)} to {need.station}" if days else ""
    return (
        f"{supply.unit} is free at {supply.station} from {day_words(supply.free_from)}{way}:"
        f" there on {there}, needed on {day_words(need.on)}."
    )


def _life(need: Need, supply: Supply) -> tuple[str, ...]:
    lasts, left = lasts_at(need, supply), left_words(need, supply)
    if lasts is None or lasts == NO_LIMIT:
        return left or (f"Nothing of {supply.unit} runs out.",)
    later = [day for day in need.opportunities if day > need.on]
    reached = max((day for day in later if day <= lasts), default=None)
    if reached is None:
        return (
            *left,
            f"It lasts until {day_words(lasts)}; no opportunity after this one is planned.",
        )
    return (
        *left,
        f"It lasts until {day_words(lasts)}, past the next opportunity on {day_words(min(later))};"
        f" the last it reaches is {day_words(reached)}.",
    )


def cost_words(cost: Cost, facts: Facts) -> tuple[str, ...]:
    """The cost, part by part; parts that are nought are left out."""
    prices = facts.prices
    parts = [
        (cost.life_days, f"{days_words(cost.life_days)} of life thrown away", prices.life_day),
        (
            cost.beyond_days,
            f"{days_words(cost.beyond_days)} left after the last opportunity planned, not lost",
            prices.life_day,
        ),
        (cost.shelf_days, f"{days_words(cost.shelf_days)} left on the shelf", prices.shelf_day),
        (cost.freight, f"freight of {count_words(cost.freight)}", prices.freight),
    ]
    said = [f"{words} at {price} each" for amount, words, price in parts if amount]
    return (f"Cost {count_words(cost.total)}: {', '.join(said) or 'nothing is lost'}.",)


def difference(before: Proposal, after: Proposal) -> Difference:
    """What changes from one proposal to another, in the order of the needs' keys."""
    was, becomes = before.pairs, after.pairs
    needs = sorted(set(was) | set(becomes))
    moved = tuple(
        Moved(need, was.get(need), becomes.get(need))
        for need in needs
        if was.get(need) != becomes.get(need)
    )
    more_cost = after.total_cost - before.total_cost
    return Difference(moved, len(becomes) - len(was), more_cost)


def first_day_there(need: Need, supply: Supply, facts: Facts) -> date | None:
    """The day on which a unit can be where the need is; None where that is not known or nothing goes."""
    days = days_on_the_way(need, supply, facts)
    if supply.free_from is None or days is None:
        return None
    return supply.free_from + timedelta(days=days)
