"""The ground times that are planned for aircraft, as far as they can be kept."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from django.db.models import OuterRef, Q, QuerySet, Subquery
from django.db.models.functions import Coalesce

from fleet.models import Aircraft, AircraftStatus, Check


def left_by(on: date) -> frozenset[int]:
    """The aircraft that have left the fleet by a day, as far as it is recorded."""
    then = AircraftStatus.objects.filter(from_on__lte=on).order_by("aircraft", "-from_on", "-pk")
    latest = then.distinct("aircraft").values_list("aircraft", "status")
    return frozenset(aircraft for aircraft, status in latest if status == Aircraft.LEFT)


def leaving_days(aircraft_ids: Iterable[int]) -> dict[int, date]:
    """The day on which each of these aircraft leaves or left the fleet, where nothing comes after it."""
    last = AircraftStatus.objects.filter(aircraft__in=list(aircraft_ids))
    last = last.order_by("aircraft", "-from_on", "-pk").distinct("aircraft")
    rows = last.values_list("aircraft", "status", "from_on")
    return {aircraft: on for aircraft, status, on in rows if status == Aircraft.LEFT}


def planned_checks() -> QuerySet[Check]:
    """Checks and overnight stops that stand, but the stops of an aircraft that will be parked then, as
    far as its status is recorded: nobody is there to work on it; and nothing of one that will have left."""
    then = AircraftStatus.objects.filter(
        aircraft=OuterRef("aircraft"), from_on__lte=OuterRef("starts_on")
    ).order_by("-from_on", "-pk")
    found = Check.objects.filter(is_cancelled=False).alias(
        status_then=Coalesce(Subquery(then.values("status")[:1]), "aircraft__status")
    )
    parked = Q(sort=Check.OVERNIGHT) & Q(status_then=Aircraft.PARKED)
    return found.exclude(parked | Q(status_then=Aircraft.LEFT))


def not_over(on: date) -> Q:
    """Of checks: those whose last day has not passed by a day, and that were not closed by then."""
    return Q(ends_on__gte=on) & (Q(closed_on=None) | Q(closed_on__gt=on))
