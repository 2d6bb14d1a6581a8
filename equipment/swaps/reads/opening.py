"""What a swap begins from: its step list that day, and the unit expected at its position."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from django.db.models import Q

from equipment.models import Place, StepList, Unit


def expected_at(place: Place) -> Unit | None:
    """The unit that the records say is there; None if none is, or if there are several."""
    found = list(Unit.objects.filter(place=place, merged_into=None).order_by("pk")[:2])
    return found[0] if len(found) == 1 else None


def step_list_of(place: Place, units: Iterable[Unit | None], day: date) -> StepList | None:
    """The steps for one of these units' part numbers, else for the position's kind, in force that day."""
    position = place.aircraft_position
    kind = position.type_position.kind if position else getattr(place.part_position, "kind", None)
    in_force = StepList.objects.filter(from_on__lte=day).order_by("-from_on", "-pk")
    for unit in units:
        if unit is not None:
            own = in_force.filter(Q(part_number=unit.part_number_id), kind=kind).first()
            if own is not None:
                return own
    return in_force.filter(kind=kind, part_number=None).first()
