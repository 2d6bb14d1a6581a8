"""What the picture of the fleet's next days is drawn from: one read for any number of aircraft."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import date, timedelta

from django.db.models import Count, Q
from django.urls import reverse

from fleet.aircraft.planned import not_over, planned_checks
from fleet.drawing.fleet_days import DAYS, AircraftDays, DueDay, GroundTime
from fleet.models import Aircraft, Check
from scheduling.engine.basis.bands import Band
from scheduling.models import DueItem


def fleet_ahead(today: date, days: int = DAYS) -> Sequence[AircraftDays]:
    """Each aircraft with what is overdue and what falls due in the next days, the most urgent first."""
    end = today + timedelta(days=days)
    overdue = _counted(band__lte=Band.OVERDUE)
    unknown = _counted(band=Band.NO_BASIS)
    due: dict[int, list[DueDay]] = defaultdict(list)
    items = DueItem.objects.exclude(aircraft=None).exclude(band__lte=Band.OVERDUE)
    items = items.exclude(band=Band.QUIET)
    items = items.filter(due_on__gte=today, due_on__lte=end).order_by()
    # The plan says it, not the dates alone: a check at a station that cannot do the work meets nothing.
    unmet = Count("pk", filter=Q(check_planned=None) | Q(band=Band.OUT_OF_PHASE))
    by_day = items.values_list("aircraft", "due_on").annotate(n=Count("pk"), unmet=unmet)
    for key, on, count, without in by_day:
        due[key].append(DueDay(on, count, without))
    stands: dict[int, list[GroundTime]] = defaultdict(list)
    checks = planned_checks().filter(not_over(today), starts_on__lte=end)
    for check in checks.order_by("starts_on", "pk"):
        is_overnight = check.sort == Check.OVERNIGHT
        stands[check.aircraft_id].append(
            GroundTime(check.name, check.starts_on, check.ends_on, is_overnight)
        )
    found = [
        AircraftDays(
            each.registration,
            reverse("fleet:aircraft", args=[each.registration]),
            overdue.get(each.pk, 0),
            unknown.get(each.pk, 0),
            tuple(sorted(due[each.pk], key=lambda one: one.on)),
            tuple(stands[each.pk]),
        )
        for each in Aircraft.objects.exclude(status=Aircraft.LEFT).order_by("registration")
    ]
    return sorted(found, key=_urgency)


def _urgency(of: AircraftDays) -> tuple[int, date, str]:
    first = of.first_due
    return -of.overdue - of.unknown, first.on if first else date.max, of.registration


def _counted(**of: Band) -> dict[int, int]:
    rows = DueItem.objects.exclude(aircraft=None).filter(**of).order_by()
    return dict(rows.values_list("aircraft").annotate(n=Count("pk")))
