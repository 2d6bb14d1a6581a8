"""The complement asked of an aircraft on a day, beside what is on board."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

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
    return complements_of([aircraft.pk], on).get(aircraft.pk, Complement(None, ()))


def complements_of(aircraft_ids: Sequence[int] | None, on: date) -> dict[int, Complement]:
    """The same of each of these aircraft (all: None) whose cabin is stated: three questions."""
    cabins = (
        Cabin.objects.filter(from_on__lte=on).select_related("aircraft").order_by("from_on", "pk")
    )
    if aircraft_ids is not None:
        cabins = cabins.filter(aircraft__in=aircraft_ids)
    latest = {cabin.aircraft_id: cabin for cabin in cabins}
    if not latest:
        return {}
    lines, carried = _lines(), _carried(latest)
    return {
        aircraft: Complement(
            cabin,
            tuple(
                requirements(
                    CabinFacts(cabin.seats, cabin.occupants, cabin.is_overwater),
                    [line for of, line in lines if of in (None, cabin.aircraft.aircraft_type_id)],
                    carried.get(aircraft, {}),
                )
            ),
        )
        for aircraft, cabin in latest.items()
    }


def is_asked() -> bool:
    """Whether the operator has entered what its aircraft must carry."""
    return ComplementRule.objects.exists()


def _lines() -> list[tuple[int | None, RuleLine]]:
    """Every line of a rule, with the type that it is for (None: every)."""
    rows = ComplementRule.objects.select_related("kind")
    return [
        (
            row.aircraft_type_id,
            RuleLine(
                row.kind.name,
                row.by,
                row.document,
                row.seats_from,
                row.number,
                row.only_overwater,
            ),
        )
        for row in rows.order_by("kind__name", "document", "by", "seats_from", "pk")
    ]


def _carried(aircraft_ids: Iterable[int]) -> dict[int, dict[str, list[Carried]]]:
    """What is on board each by the name of its kind, what is inside other units too."""
    found: dict[int, dict[str, list[Carried]]] = defaultdict(lambda: defaultdict(list))
    rows = Unit.objects.filter(aircraft__in=list(aircraft_ids), merged_into=None)
    told = rows.values_list(
        "aircraft", "part_number__kind__name", "quantity", "part_number__carries"
    )
    for aircraft, kind, quantity, carries in told:
        found[aircraft][kind].append(Carried(quantity, carries))
    return found
