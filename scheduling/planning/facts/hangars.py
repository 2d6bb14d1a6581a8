"""What hangars hold, and the checks that are wished of them, as they are levelled."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np

from fleet.aircraft.planned import leaving_days, not_over, planned_checks
from fleet.models import Check, Station
from scheduling.models import HangarCapacity, PackageHandover
from scheduling.placing.columns import NONE, State
from scheduling.placing.wishes import Hangar, Holds, Wish

from .fleet import EPOCH, FleetPlan


@dataclass(frozen=True, slots=True)
class Wishes:
    """Checks and the hangars they are wished of, in the same order; ``stations`` are those of the hangars."""

    checks: tuple[Check, ...]
    wishes: tuple[Wish, ...]
    stations: tuple[Station, ...]
    hangars: tuple[Hangar, ...]


def number(day: date) -> int:
    """Days since 1970."""
    return day.toordinal() - EPOCH


def capacities() -> dict[int, list[HangarCapacity]]:
    """What holds of each station's hangar, by its first day: of one day what was said last. One question."""
    rows = HangarCapacity.objects.order_by("station", "from_on", "-pk")
    found: dict[int, list[HangarCapacity]] = defaultdict(list)
    for row in rows.distinct("station", "from_on").select_related("station", "stated_by"):
        found[row.station_id].append(row)
    return dict(found)


def wishes_of(plan: FleetPlan, until: date, move: int) -> Wishes:
    """The checks of the aircraft that use a hangar of which something is said, up to a day. Each may begin so many
    days earlier or later (``move``): not before tomorrow, not so late that a work placed at it has no margin
    left, not once its aircraft has left. It stays if it has begun, was handed over, or begins after ``until``.
    Four questions."""
    told = wishes_on(plan.as_of)
    handed = set(
        PackageHandover.objects.filter(check_planned__in=[each.pk for each in told.checks])
        .values_list("check_planned", flat=True)
        .distinct()
    )
    gone = leaving_days({each.aircraft_id for each in told.checks})
    latest, price = _by_its_works(plan)
    wishes = []
    for check, wish in zip(told.checks, told.wishes, strict=True):
        stays = check.starts_on <= plan.as_of or check.pk in handed
        if stays or check.starts_on > until or wish.hangar == len(told.stations):
            wishes.append(wish)
            continue
        first, last = _window(check, plan.as_of, move, latest.get(check.pk))
        if (left_on := gone.get(check.aircraft_id)) is not None:
            last = max(min(last, left_on - timedelta(days=1)), check.starts_on)
        moving = {"earliest": number(first), "latest": number(last)}
        wishes.append(replace(wish, price=price.get(check.pk, 0), **moving))
    return replace(told, wishes=tuple(wishes))


def wishes_on(as_of: date) -> Wishes:
    """The same checks, none of which moves. Two questions, one where nothing is said of any hangar."""
    said = capacities()
    if not said:
        return Wishes((), (), (), ())
    stations = tuple(row[0].station for row in said.values())
    place = {station.pk: at for at, station in enumerate(stations)}
    rows = planned_checks().filter(not_over(as_of), sort=Check.CHECK)
    rows = rows.filter(aircraft__in=rows.filter(station__in=said).values("aircraft"))
    checks = tuple(rows.select_related("aircraft", "station").order_by("starts_on", "pk"))
    named: dict[tuple[int, str], int] = {}
    wishes = []
    for check in checks:
        slot = NONE
        if check.slot:
            slot = named.setdefault((check.station_id, check.slot.lower()), len(named))
        day = number(check.starts_on)
        wishes.append(
            Wish(
                check.aircraft_id,
                place.get(check.station_id, len(stations)),
                (check.ends_on - check.starts_on).days + 1,
                check.people,
                day,
                day,
                day,
                slot=slot,
            )
        )
    hangars = (*(_hangar(said[station.pk]) for station in stations), Hangar(()))
    return Wishes(checks, tuple(wishes), stations, hangars)


def _window(check: Check, as_of: date, move: int, latest: date | None) -> tuple[date, date]:
    """The first and the last day on which it may begin."""
    span = timedelta(days=move)
    first = max(check.starts_on - span, as_of + timedelta(days=1))
    last = check.starts_on + span
    if latest is not None:
        last = max(min(last, latest), check.starts_on)
    return min(first, check.starts_on), last


def _hangar(rows: list[HangarCapacity]) -> Hangar:
    return Hangar(tuple(Holds(number(row.from_on), row.slots, row.people) for row in rows))


def _by_its_works(plan: FleetPlan) -> tuple[Mapping[int, date], Mapping[int, int]]:
    """Of each check the last day on which it may begin for what is placed at it, with the margin where the rule
    placed it; and what a day of the life of all that costs."""
    placed = plan.placed
    rows = np.flatnonzero(placed.check >= 0)
    margin = np.where(placed.state[rows] == State.CHOSEN, 0, plan.prices.margin_days)
    last_on = plan.last_on[rows] - margin
    latest: dict[int, date] = {}
    price: dict[int, int] = defaultdict(int)
    for at, last, of_day in zip(
        placed.check[rows].tolist(), last_on.tolist(), plan.life_price[rows].tolist(), strict=True
    ):
        check = plan.times[at].id
        price[check] += of_day
        if last + EPOCH <= date.max.toordinal():
            on = date.fromordinal(last + EPOCH)
            latest[check] = min(latest.get(check, on), on)
    return latest, price
