"""All facts of an allocation, read together: a fixed number of questions for any number of units."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from scheduling.matching.facts.facts import Facts
from scheduling.planning.facts.fleet import plan_of
from scheduling.planning.facts.when import returns_from

from .decisions import Decisions, decisions_on
from .lots import cut_lots
from .needs import NeedFact, Rules, needs_of, rules_of_stock
from .removals import left_out, removals_until
from .supplies import SupplyFact, supplies_of
from .ways import ways_between

#: How far ahead removals are planned.
HORIZON = timedelta(days=365)


@dataclass(frozen=True, slots=True)
class Gathered:
    """The facts, and what stands behind each need and each supply, by key."""

    as_of: date
    until_on: date
    facts: Facts
    needs: dict[str, NeedFact]
    supplies: dict[str, SupplyFact]
    decisions: Decisions
    rules: Rules
    left_out: dict[str, int]


def gather(as_of: date, at: datetime, until_on: date | None = None) -> Gathered:
    """The facts of every need from a day through the horizon's last, as they are known at an instant."""
    until = until_on or as_of + HORIZON
    rules = rules_of_stock()
    returns = returns_from(as_of)
    removals = removals_until(plan_of(as_of), returns, until)
    needs, parts = needs_of(removals, rules, as_of)
    decisions = decisions_on(needs)
    whole = supplies_of(needs, (parts, rules, decisions), at=at, as_of=as_of)
    supplies, locked, forbidden = cut_lots([fact.need for fact in needs], whole, decisions)
    facts = Facts(
        needs=tuple(fact.need for fact in needs),
        supplies=tuple(fact.supply for fact in supplies),
        ways=ways_between(
            (fact.supply.station for fact in supplies), (fact.need.station for fact in needs)
        ),
        locked=locked,
        forbidden=forbidden,
    )
    return Gathered(
        as_of,
        until,
        facts,
        {fact.need.key: fact for fact in needs},
        {fact.supply.key: fact for fact in supplies},
        decisions,
        rules,
        left_out(returns),
    )
