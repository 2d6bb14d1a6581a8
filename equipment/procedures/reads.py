"""What is there of step lists, and what lacks one."""

from __future__ import annotations

from datetime import date

from equipment.models import StepList
from fleet.models import Aircraft, AircraftPosition, Kind


def kinds_without_list(on: date) -> list[Kind]:
    """Kinds at positions of the fleet for which no step list is in force: no change of theirs can be
    recorded step by step. A list for one part number alone does not count for its kind."""
    listed = StepList.objects.filter(from_on__lte=on, part_number=None, for_work="").values("kind")
    flying = AircraftPosition.objects.exclude(aircraft__status=Aircraft.LEFT)
    used = flying.values("type_position__kind")
    return list(Kind.objects.filter(pk__in=used).exclude(pk__in=listed).order_by("name"))
