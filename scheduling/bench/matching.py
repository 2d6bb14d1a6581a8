"""The allocation and the float, measured on an invented fleet of families, without a database."""

from __future__ import annotations

import resource
import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date, timedelta
from functools import partial
from statistics import median
from typing import TypeVar

import numpy as np
from scipy.sparse import coo_array, csr_array
from scipy.sparse.csgraph import min_weight_full_bipartite_matching

from fleet.bench.load_units import Figure
from scheduling.matching.facts.change import Change
from scheduling.matching.facts.columns import Columns, Ints, columns_of
from scheduling.matching.facts.facts import NO_LIMIT, Facts, Fit, Need, Supply, Way
from scheduling.matching.solving.float_size import float_size as size_of
from scheduling.matching.solving.pairs import Pairs, possible_pairs
from scheduling.matching.solving.proposal import propose
from scheduling.matching.solving.renew import renew

NEEDS = SUPPLIES = 5_000
OUT = 20_000
FAMILIES, AIRCRAFT, STATIONS, MSN = 50, 500, 8, 1000
TARGET_FLEET, TARGET_CHANGE, TARGET_SECONDS = 2.0, 0.2, 5.0
_DAY = date(2027, 1, 1)
One = TypeVar("One")


def match_fleet(rounds: int = 5) -> Figure:
    """Choosing for the whole fleet, reasons and costs included, over the bare solver on the pairs' matrix."""
    columns = columns_of(invented())
    pairs, proposal = possible_pairs(columns), propose(columns)
    met = np.flatnonzero(proposal.supply_of >= 0)
    known = _bare_for(columns, pairs, met)
    ours, bare, told = _median_seconds(
        rounds, lambda: propose(columns), _bare(columns, pairs), known
    )
    return Figure(
        "match_fleet",
        round(ours / bare, 3),
        "x bare solver",
        f"<= {TARGET_FLEET}",
        ours <= TARGET_FLEET * bare,
        _peak_mib(),
        {
            "needs": NEEDS,
            "supplies": SUPPLIES,
            "pairs": len(pairs.need),
            "short": NEEDS - len(met),
            "seconds": round(ours, 3),
            "bare_seconds": round(bare, 3),
            "bare_seconds_told_who_is_met": round(told, 3),
        },
    )


def match_change(changes: int = 40) -> Figure:
    """The proposal after one change, over choosing for the whole fleet anew: the worst of several."""
    facts = invented()
    columns = columns_of(facts)
    proposal = propose(columns)
    whole = _median_seconds(5, lambda: propose(columns))[0]
    draw = np.random.default_rng(2)
    taken = []
    for _ in range(changes):
        change = _some_change(draw, facts)
        taken.append(_median_seconds(3, partial(renew, proposal, change))[0])
    ratio = max(taken) / whole
    return Figure(
        "match_change",
        round(ratio, 3),
        "x whole fleet",
        f"<= {TARGET_CHANGE}",
        ratio <= TARGET_CHANGE,
        _peak_mib(),
        {
            "milliseconds": {
                "median": round(median(taken) * 1000, 2),
                "worst": round(max(taken) * 1000, 2),
                "whole": round(whole * 1000, 1),
            }
        },
    )


def float_size() -> Figure:
    """The fewest spares for 20,000 needs, with the proof and the months."""
    draw = np.random.default_rng(3)
    outs = [_DAY + timedelta(_upto(draw, 3650)) for _ in range(OUT)]
    backs = [out + timedelta(_between(draw, 10, 90)) for out in outs]
    seconds = _median_seconds(3, lambda: size_of(outs, backs))[0]
    spares = size_of(outs, backs).spares
    return Figure(
        "float_size",
        round(seconds, 3),
        "s",
        f"<= {TARGET_SECONDS}",
        seconds <= TARGET_SECONDS,
        _peak_mib(),
        {"needs": OUT, "spares": spares},
    )


def _peak_mib() -> int:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024


def _median_seconds(rounds: int, *works: Callable[[], object]) -> list[float]:
    """The median time of each work, taken in turns, so that a busy moment meets all."""
    taken: list[list[float]] = [[] for _ in works]
    for _ in range(rounds):
        for at, work in enumerate(works):
            begun = time.perf_counter()
            work()
            taken[at].append(time.perf_counter() - begun)
    return [median(times) for times in taken]


def _bare(columns: Columns, pairs: Pairs) -> Callable[[], object]:
    """Only the library's solver, on the finished matrix: costs, and a price for leaving a need unmet."""
    needs, supplies = len(columns.needs), len(columns.supplies)
    rows = np.arange(needs)
    unmet = np.full(needs, 1.0 + needs * (pairs.cost.max() + 1))
    weight = np.concatenate([pairs.cost + 1.0, unmet])
    places = (
        np.concatenate([pairs.need, rows]),
        np.concatenate([pairs.supply, supplies + rows]),
    )
    table = csr_array(coo_array((weight, places), shape=(needs, supplies + needs)))
    return lambda: min_weight_full_bipartite_matching(table)


def _bare_for(columns: Columns, pairs: Pairs, met: Ints) -> Callable[[], object]:
    """The solver told beforehand which needs can be met: more than it could know, for comparison only."""
    place = np.full(len(columns.needs), -1, dtype=np.int64)
    place[met] = np.arange(len(met))
    kept = place[pairs.need] >= 0
    places = (place[pairs.need[kept]], pairs.supply[kept])
    shape = (len(met), len(columns.supplies))
    table = csr_array(coo_array((pairs.cost[kept] + 1.0, places), shape=shape))
    return lambda: min_weight_full_bipartite_matching(table)


def _some_change(draw: np.random.Generator, facts: Facts) -> Change:
    """A need that moves, a unit that fails, comes later or is forbidden: what a day brings."""
    need, supply = _one(draw, facts.needs), _one(draw, facts.supplies)
    late = (supply.free_from or _DAY) + timedelta(_between(draw, 1, 30))
    changes = [
        Change(needs=(replace(need, on=need.on + timedelta(_between(draw, -20, 20))),)),
        Change(gone_needs=(need.key,)),
        Change(supplies=(replace(supply, is_serviceable=False),)),
        Change(supplies=(replace(supply, free_from=late),)),
        Change(forbid=((need.key, supply.key),)),
        Change(lock=((need.key, supply.key),)),
    ]
    return _one(draw, changes)


def _between(draw: np.random.Generator, low: int, high: int) -> int:
    return int(draw.integers(low, high, endpoint=True))


def _upto(draw: np.random.Generator, end: int) -> int:
    return int(draw.integers(end))


def _one(draw: np.random.Generator, of: Sequence[One]) -> One:
    return of[_upto(draw, len(of))]


def invented() -> Facts:
    """A fleet with families of parts of their own; a unit in thirty has something the matter with it."""
    draw = np.random.default_rng(1)
    stations = [f"ST{number}" for number in range(STATIONS)]
    checks = [_checks(draw) for _ in range(AIRCRAFT)]
    needs = tuple(_need(draw, number, stations, checks) for number in range(NEEDS))
    supplies = tuple(_supply(draw, number, stations) for number in range(SUPPLIES))
    return Facts(needs, supplies, tuple(_ways(draw, stations)))


def _checks(draw: np.random.Generator) -> tuple[date, ...]:
    first, every = _between(draw, 0, 300), _one(draw, [300, 400])
    return tuple(_DAY + timedelta(first + every * number) for number in range(9))


def _ways(draw: np.random.Generator, stations: list[str]) -> list[Way]:
    return [
        Way(origin, station, _between(draw, 1, 3), _between(draw, 5, 60), is_dangerous)
        for origin in stations
        for station in stations
        for is_dangerous in (False, True)
        if origin != station and draw.random() < 0.8
    ]


def _need(
    draw: np.random.Generator, number: int, stations: list[str], checks: list[tuple[date, ...]]
) -> Need:
    family, aircraft = _upto(draw, FAMILIES), _upto(draw, AIRCRAFT)
    fits = (Fit(f"P{family}-1"), Fit(f"P{family}-2", ("A", "B")))
    on = _DAY + timedelta(_upto(draw, 540))
    return Need(
        f"N{number:05}",
        f"F{family}",
        on,
        _one(draw, stations),
        str(MSN + aircraft),
        fits,
        checks[aircraft],
        _one(draw, [0, 90, 180]),
    )


def _supply(draw: np.random.Generator, number: int, stations: list[str]) -> Supply:
    family = _upto(draw, FAMILIES)
    shelf = _DAY + timedelta(_between(draw, 100, 1500))
    return Supply(
        f"S{number:05}",
        f"U{number:05}",
        f"P{family}-{_one(draw, [1, 1, 2])}",
        _one(draw, stations),
        _DAY + timedelta(_between(draw, -200, 500)),
        _DAY + timedelta(_between(draw, 200, 1800)),
        _one(draw, ["A", "B", "C"]),
        shelf_until=shelf if family % 4 == 0 else NO_LIMIT,
        has_certificate=draw.random() < 0.97,
        is_dangerous=family % 3 == 0,
    )
