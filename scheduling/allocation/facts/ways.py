"""Ways between stations: the operator's, or where none is entered a stand-in that says so."""

from __future__ import annotations

from equipment.models import Transport
from fleet.models import Station
from scheduling.matching.facts.facts import Way

STAND_IN_DAYS = 2


def ways_between() -> tuple[Way, ...]:
    """What is entered; a way that takes dangerous goods takes other goods too. Two questions at most.

    Where no transport at all is entered, two days from anywhere to anywhere stand in for it.
    """
    entered = Transport.objects.order_by("pk").values_list(
        "origin__code", "station__code", "days", "cost", "takes_dangerous_goods"
    )
    found = [
        Way(origin, station, days, cost, is_dangerous)
        for origin, station, days, cost, takes in entered
        for is_dangerous in ((False, True) if takes else (False,))
    ]
    return tuple(found) or _stand_in()


def _stand_in() -> tuple[Way, ...]:
    codes = list(Station.objects.order_by("code").values_list("code", flat=True))
    return tuple(
        Way(origin, station, STAND_IN_DAYS, 0, is_dangerous)
        for origin in codes
        for station in codes
        for is_dangerous in (False, True)
        if origin != station
    )
