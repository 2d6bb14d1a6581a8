"""What hangars hold, and the checks that are wished of them, as they are levelled."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from fleet.aircraft.planned import leaving_days, not_over, planned_checks
from fleet.models import Check, Station
from scheduling.models import HangarCapacity, PackageHandover
from scheduling.placing.columns import NONE, State
from scheduling.placing.wishes import Hangar, Holds, Wish

from .fleet import EPOCH, FleetPlan

#: So many days ahead hangars are looked at, whatever is asked.
FARTHEST = 500


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
    said = capacities()
    if not said:
        return Wishes((), (), (), ())
    stations = tuple(row[0].station for row in said.values())
    place = {station.pk: at for at, station in enumerate(stations)}
    rows = planned_checks().filter(not_over(plan.as_of), sort=Check.CHECK)
    rows = rows.filter(aircraft__in=rows.filter(station__in=said).values("aircraft"))
    checks = tuple(rows.select_related("aircraft", "station").order_by("starts_on", "pk"))
    handed = set(
        PackageHandover.objects.filter(check_planned__in=[each.pk for each in checks])
        .values_list("check_planned", flat=True)
        .distinct()
    )
    gone = leaving_days({each.aircraft_id for each in checks})
    latest, price = _by_its_works(plan)
    named: dict[tuple[int, str], int] = {}
    wishes = []
    for check in checks:
        stays = check.starts_on <= plan.as_of or check.pk in handed
        stays |= check.starts_on > until or check.station_id not in place
        slot = NONE
        if check.slot:
            slot = named.setdefault((check.station_id, check.slot.lower()), len(named))
        first, last = _window(check, plan.as_of, move, latest.get(check.pk))
        if (left_on := gone.get(check.aircraft_id)) is not None:
            last = max(min(last, left_on - timedelta(days=1)), check.starts_on)
        wishes.append(
            Wish(
                check.aircraft_id,
                place.get(check.station_id, len(stations)),
                (check.ends_on - check.starts_on).days + 1,
                check.people,
                number(check.starts_on),
                number(check.starts_on if stays else first),
                number(check.starts_on if stays else last),
                price.get(check.pk, 0),
                slot,
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
