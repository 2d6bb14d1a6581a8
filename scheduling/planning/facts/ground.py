"""The ground times that are not over, which works are possible at each, and what opening an access costs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from fleet.aircraft.planned import not_over, planned_checks
from fleet.models import Check, TypePosition
from scheduling.facts.copying import Ints, first_at, read
from scheduling.models import LifePrice, OpeningPrice, PlanningRule, Work
from scheduling.placing.columns import NONE, Bools

POSITIONS = {"id": "p.id", "aircraft": "p.aircraft_id", "type_position": "p.type_position_id"}
OF_AIRCRAFT = (
    "FROM fleet_aircraftposition p WHERE (%s::bigint[] IS NULL OR p.aircraft_id = ANY(%s::bigint[]))"
    " ORDER BY p.id"
)


@dataclass(frozen=True, slots=True)
class GroundTime:
    """A check or an overnight stop that is not over. ``able``: codes of works possible there, empty: all;
    ``slot`` and ``people`` are what it has of the hangar."""

    id: int
    aircraft_id: int
    name: str
    is_overnight: bool
    starts_on: date
    ends_on: date
    station: str
    able: frozenset[str]
    station_id: int = 0
    slot: str = ""
    people: int = 0

    def can_do(self, works: frozenset[str]) -> bool:
        return not self.able or works <= self.able


def ground_times(as_of: date, aircraft_ids: Sequence[int] | None = None) -> list[GroundTime]:
    """Those of these aircraft (None: of all), by aircraft, then first day. One question."""
    rows = planned_checks().filter(not_over(as_of))
    if aircraft_ids is not None:
        rows = rows.filter(aircraft__in=aircraft_ids)
    told = rows.order_by("aircraft", "starts_on", "pk").values_list(
        "pk",
        "aircraft_id",
        "name",
        "sort",
        "starts_on",
        "ends_on",
        "station__code",
        "abilities",
        "station__abilities",
        "station_id",
        "slot",
        "people",
    )
    return [
        GroundTime(
            key,
            aircraft,
            name,
            sort == Check.OVERNIGHT,
            starts_on,
            ends_on,
            station,
            frozenset(own or (of_station if sort == Check.OVERNIGHT else [])),
            base,
            slot,
            people,
        )
        for key, aircraft, name, sort, starts_on, ends_on, station, own, of_station, base, slot, people in told
    ]


def possible(times: Sequence[GroundTime], work_ids: Ints) -> Bools:
    """Which of these works (a row each) is possible at which ground time. One question."""
    codes = dict(Work.objects.filter(pk__in=work_ids.tolist()).values_list("pk", "code"))
    named = [codes.get(work, "") for work in work_ids.tolist()]
    can = np.ones((len(named), len(times)), bool)
    columns: dict[frozenset[str], Bools] = {}
    for at, time in enumerate(times):
        if time.able:
            if time.able not in columns:
                columns[time.able] = np.array([code in time.able for code in named], bool)
            can[:, at] = columns[time.able]
    return can


@dataclass(frozen=True, slots=True)
class Prices:
    """The operator's margin and prices now. ``is_stated``: somebody has said them."""

    margin_days: int = 0
    life_price: int = 0
    opening_price: int = 0
    is_stated: bool = False
    document: str = ""


def prices_now() -> Prices:
    """One question."""
    found = PlanningRule.objects.order_by("-pk").first()
    if found is None:
        return Prices()
    return Prices(
        found.margin_days,
        found.life_price,
        found.opening_price,
        is_stated=True,
        document=found.document,
    )


def life_prices(part_ids: Ints, prices: Prices) -> Ints:
    """What 100 days of life of each of these part numbers cost. One question."""
    rows = LifePrice.objects.order_by("part_number", "-pk").distinct("part_number")
    own = dict(rows.values_list("part_number_id", "price"))
    if not own:
        return np.full(len(part_ids), prices.life_price)
    parts, at = np.unique(part_ids, return_inverse=True)
    of_part = np.array([own.get(part, prices.life_price) for part in parts.tolist()], np.int64)
    found: Ints = of_part[at.reshape(-1)]
    return found


@dataclass(frozen=True, slots=True)
class Accesses:
    """The access that each job is behind, NONE for none; of each access its price and name."""

    group: Ints
    opening: Ints
    names: tuple[str, ...]


def accesses(
    positions: Ints, aircraft: Ints, prices: Prices, these: Sequence[int] | None
) -> Accesses:
    """The accesses of jobs at these positions of these aircraft (by index). Three questions."""
    behind = list(
        TypePosition.objects.exclude(access_group="")
        .order_by("pk")
        .values_list("pk", "aircraft_type_id", "access_group")
    )
    rows = OpeningPrice.objects.order_by("aircraft_type", "access_group", "-pk")
    own = {
        (of_type, group): price
        for of_type, group, price in rows.distinct("aircraft_type", "access_group").values_list(
            "aircraft_type_id", "access_group", "price"
        )
    }
    if not behind or not len(positions):
        return Accesses(np.full(len(positions), NONE), np.empty(0, np.int64), ())
    codes = sorted({(of_type, group) for _, of_type, group in behind})
    code_of = {code: at for at, code in enumerate(codes)}
    table = read(POSITIONS, OF_AIRCRAFT, [None if these is None else list(these)] * 2)
    at_layout = first_at(
        np.array([key for key, _, _ in behind], np.int64),
        table["type_position"][first_at(table["id"], positions)] if len(table["id"]) else positions,
    )
    of_layout = np.array([code_of[of_type, group] for _, of_type, group in behind], np.int64)
    is_behind = (positions >= 0) & (at_layout >= 0)
    keys = aircraft * len(codes) + of_layout[np.maximum(at_layout, 0)]
    groups, dense = np.unique(keys[is_behind], return_inverse=True)
    group = np.full(len(positions), NONE)
    group[is_behind] = dense.reshape(-1)
    named = [codes[code] for code in (groups % len(codes)).tolist()]
    opening = np.array([own.get(code, prices.opening_price) for code in named], np.int64)
    return Accesses(group, opening, tuple(name for _, name in named))
