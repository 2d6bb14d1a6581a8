"""Ways between stations: the operator's, or where none is entered a stand-in that says so."""

from __future__ import annotations

from collections.abc import Iterable

from equipment.models import Transport
from scheduling.matching.facts.facts import Way

STAND_IN_DAYS = 2


def ways_between(origins: Iterable[str], stations: Iterable[str]) -> tuple[Way, ...]:
    """What is entered; a way that takes dangerous goods takes other goods too. One question.

    Where no transport at all is entered, two days stand in for it: from each of ``origins`` (codes of
    where units are) to each of ``stations`` (of where they are needed), however many others there are.
    """
    entered = Transport.objects.order_by("pk").values_list(
        "origin__code", "station__code", "days", "cost", "takes_dangerous_goods"
    )
    found = [
        Way(origin, station, days, cost, is_dangerous)
        for origin, station, days, cost, takes in entered
        for is_dangerous in ((False, True) if takes else (False,))
    ]
    return tuple(found) or _stand_in(sorted(set(origins)), sorted(set(stations)))


def _stand_in(origins: list[str], stations: list[str]) -> tuple[Way, ...]:
    return tuple(
        Way(origin, station, STAND_IN_DAYS, 0, is_dangerous)
        for origin in origins
        for station in stations
        for is_dangerous in (False, True)
        if origin != station
    )
