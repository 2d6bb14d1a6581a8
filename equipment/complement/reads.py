"""The complement asked of an aircraft on a day, beside what is on board."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date

from django.db.models import Q

from equipment.models import Cabin, ComplementRule, Unit
from fleet.models import Aircraft

from .rule import CabinFacts, Carried, Requirement, RuleLine, requirements


@dataclass(frozen=True, slots=True)
class Complement:
    """The cabin as stated (None: not stated), what is asked of it, each with what is on board today."""

    cabin: Cabin | None
    requirements: tuple[Requirement, ...]

    @property
    def short(self) -> tuple[Requirement, ...]:
        """What is not met."""
        return tuple(each for each in self.requirements if not each.is_met)


def complement_of(aircraft: Aircraft, on: date) -> Complement:
    """What the cabin in force on a day asks for, and whether what is fitted now meets it."""
    cabin = Cabin.objects.filter(aircraft=aircraft, from_on__lte=on).order_by("-from_on").first()
    if cabin is None:
        return Complement(None, ())
    facts = CabinFacts(cabin.seats, cabin.occupants, cabin.is_overwater)
    return Complement(cabin, tuple(requirements(facts, _lines(aircraft), _carried(aircraft))))


def is_asked() -> bool:
    """Whether the operator has entered what its aircraft must carry."""
    return ComplementRule.objects.exists()


def _lines(aircraft: Aircraft) -> list[RuleLine]:
    of_type = Q(aircraft_type=None) | Q(aircraft_type=aircraft.aircraft_type_id)
    rows = ComplementRule.objects.filter(of_type).select_related("kind")
    return [
        RuleLine(
            row.kind.name,
            row.by,
            row.document,
            row.seats_from,
            row.number,
            row.only_overwater,
        )
        for row in rows.order_by("kind__name", "document", "by", "seats_from", "pk")
    ]


def _carried(aircraft: Aircraft) -> dict[str, list[Carried]]:
    """What is on board by the name of its kind, what is inside other units too."""
    found: dict[str, list[Carried]] = defaultdict(list)
    rows = Unit.objects.filter(aircraft=aircraft, merged_into=None)
    told = rows.values_list("part_number__kind__name", "quantity", "part_number__carries")
    for kind, quantity, carries in told:
        found[kind].append(Carried(quantity, carries))
    return found
