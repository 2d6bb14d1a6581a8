"""The ground times that are planned for aircraft, as far as they can be kept."""

from __future__ import annotations

from django.db.models import OuterRef, Q, QuerySet, Subquery
from django.db.models.functions import Coalesce

from fleet.models import Aircraft, AircraftStatus, Check


def planned_checks() -> QuerySet[Check]:
    """Checks and overnight stops that stand, but the stops of an aircraft that will be parked then, as
    far as its status is recorded: nobody is there to work on it."""
    then = AircraftStatus.objects.filter(
        aircraft=OuterRef("aircraft"), from_on__lte=OuterRef("starts_on")
    ).order_by("-from_on", "-pk")
    found = Check.objects.filter(is_cancelled=False).alias(
        status_then=Coalesce(Subquery(then.values("status")[:1]), "aircraft__status")
    )
    return found.exclude(Q(sort=Check.OVERNIGHT) & Q(status_then=Aircraft.PARKED))
