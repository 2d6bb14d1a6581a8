"""Small worlds with every rule in them, the same for the same seed; and the slow way to the best."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta

from scheduling.matching.facts.change import Change
from scheduling.matching.facts.costs import cost_of
from scheduling.matching.facts.facts import NO_LIMIT, Facts, Fit, Need, Prices, Supply, Way
from scheduling.matching.telling.why_not import why_not

DAY = date(2027, 3, 1)
STATIONS = ("North", "South", "East")


def later(days):
    return DAY + timedelta(days=days)


def a_need(key="need", **facts):
    plain = {
        "family": "slide",
        "on": later(30),
        "station": "North",
        "msn": "1001",
        "fits": (Fit("SL-1"),),
        "opportunities": (later(400),),
    }
    return Need(key, **{**plain, **facts})


def a_supply(key="supply", **facts):
    plain = {
        "unit": f"unit {key}",
        "part": "SL-1",
        "station": "North",
        "free_from": later(0),
        "lasts_until": later(500),
    }
    return Supply(key, **{**plain, **facts})


def some_fits(draw, odd):
    if draw.random() > 2 * odd:
        return (Fit("SL-1"), Fit("SL-2"))
    every = [
        Fit("SL-1"),
        Fit("SL-2", standards=("A", "B")),
        Fit("SL-2", hand="left", msn_from="1001", msn_to="1002"),
        Fit("SL-1", hand="right", standards=("A",), msn_to="999"),
    ]
    return tuple(draw.sample(every, draw.randint(1, 3)))


def some_need(draw, number, odd):
    days = sorted(draw.sample(range(0, 900, 15), draw.randint(1, 6)))
    return a_need(
        f"need {number}",
        on=later(draw.choice([10, 30, 30, 50])),
        station=draw.choice(STATIONS),
        msn=draw.choice(["998", "1001", "1002", "X7"]),
        fits=some_fits(draw, odd),
        opportunities=tuple(map(later, days)),
        least_days=draw.choice([100, 400]) if draw.random() < odd else 0,
        owners=frozenset({"us", "pool"}) if draw.random() < 2 * odd else None,
        dual_release="QSIG-2" if draw.random() < 0.3 else "",
        quantity=draw.choice([2, 6]) if draw.random() < odd / 3 else 1,
    )


def some_supply(draw, number, odd):
    """``odd``: how often something is the matter with a unit, out of 1."""

    def now_and_then(usual, *unusual):
        return draw.choice(unusual) if draw.random() < odd else usual

    return a_supply(
        f"supply {number}",
        part=draw.choice(["SL-1", "SL-2"]),
        standard=draw.choice(["A", "B", "C"]),
        hand=draw.choice(["", "", "left", "right"]),
        station=draw.choice(STATIONS),
        free_from=now_and_then(later(draw.choice([0, 0, 5, 20, 28])), None, later(45)),
        lasts_until=now_and_then(
            later(draw.randint(400, 1200)), None, later(60), later(25), NO_LIMIT
        ),
        shelf_until=now_and_then(NO_LIMIT, later(20), later(draw.randint(60, 300))),
        has_certificate=now_and_then(True, False),
        is_serviceable=now_and_then(True, False),
        is_quarantined=now_and_then(False, True),
        needs_decision=now_and_then(False, True),
        reserved_for=now_and_then(None, "need 0", "need 1"),
        owner=now_and_then("us", "pool", "lessor"),
        only_msns=now_and_then(None, frozenset({"1001"}), frozenset({"998", "X7"})),
        return_by=now_and_then(NO_LIMIT, later(100)),
        is_dangerous=now_and_then(False, True),
        has_dual_release=draw.random() > odd / 2,
        quantity=draw.choice([1, 1, 2, 6]),
    )


def some_facts(seed, needs=4, supplies=4, odd=0.06):
    draw = random.Random(seed)
    wanted = tuple(some_need(draw, number, odd) for number in range(needs))
    units = tuple(some_supply(draw, number, odd) for number in range(supplies))
    ways = [
        Way(origin, station, draw.randint(1, 4), draw.randint(0, 90), is_dangerous)
        for origin in STATIONS
        for station in STATIONS
        for is_dangerous in (False, True)
        if draw.random() < 0.8
    ]
    pairs = [(one.key, other.key) for one in wanted for other in units]
    locked = draw.sample(pairs, 1) if draw.random() < 0.3 and pairs else []
    forbidden = draw.sample(pairs, min(len(pairs), draw.choice([0, 0, 2])))
    prices = draw.choice([Prices(), Prices(3, 1, 2), Prices(0, 0, 1), Prices(0, 0, 0)])
    return Facts(wanted, units, tuple(ways), prices, tuple(locked), tuple(forbidden))


def shuffled(facts, seed):
    draw = random.Random(seed)
    mixed = [
        tuple(draw.sample(rows, len(rows)))
        for rows in (facts.needs, facts.supplies, facts.ways, facts.locked, facts.forbidden)
    ]
    needs, supplies, ways, locked, forbidden = mixed
    return Facts(needs, supplies, ways, facts.prices, locked, forbidden)


def possible(facts):
    """Pair of keys to cost, asked one by one."""
    return {
        (need.key, supply.key): cost_of(facts, need, supply).total
        for need in facts.needs
        for supply in facts.supplies
        if not why_not(need, supply, facts)
    }


def ranked(facts, costs):
    """Keys of needs in their order: earliest, then with fewest units, then by key."""
    choice = {need.key: sum(one == need.key for one, _ in costs) for need in facts.needs}
    order = sorted(facts.needs, key=lambda need: (need.on, choice[need.key], need.key))
    return [need.key for need in order]


def every_matching(needs, costs) -> Iterator[dict[str, str]]:
    """Each way to give some of the needs a unit of their own."""
    if not needs:
        yield {}
        return
    first, rest = needs[0], needs[1:]
    for matching in every_matching(rest, costs):
        yield matching
        taken = set(matching.values())
        for need, supply in costs:
            if need == first and supply not in taken:
                yield {**matching, need: supply}


def worth(matching, order, costs):
    """What is compared, smaller is better: needs unmet, the set of needs, the cost, the set of units,
    and the units in the order of their needs."""
    met = sorted(order.index(need) for need in matching)
    units = [matching[order[at]] for at in met]
    return -len(met), met, sum(costs[pair] for pair in matching.items()), sorted(units), units


def best_by_trying_all(facts):
    costs = possible(facts)
    order = ranked(facts, costs)
    return min(worth(one, order, costs) for one in every_matching(order, costs))


def changed_facts(facts: Facts, change: Change) -> Facts:
    """The plain facts after a change."""
    needs = {one.key: one for one in (*facts.needs, *change.needs)}
    supplies = {one.key: one for one in (*facts.supplies, *change.supplies)}
    gone, gone_supplies = set(change.gone_needs), set(change.gone_supplies)
    gone -= {one.key for one in change.needs}
    gone_supplies -= {one.key for one in change.supplies}
    return replace(
        facts,
        needs=tuple(one for one in needs.values() if one.key not in gone),
        supplies=tuple(one for one in supplies.values() if one.key not in gone_supplies),
        locked=tuple(sorted({*facts.locked, *change.lock} - set(change.unlock))),
        forbidden=tuple(sorted({*facts.forbidden, *change.forbid} - set(change.allow))),
    )
