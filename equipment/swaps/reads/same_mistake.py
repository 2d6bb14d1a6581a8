"""One person at two doors in one visit: the same mistake twice (145.A.48(c))."""

from __future__ import annotations

from datetime import timedelta

from equipment.judging.release.signing import Change, warn_same_mistake
from equipment.models import StepEntry, Swap
from fleet.models import User

from .people import person_of, rules_of
from .rows import kind_of

#: Swaps of one aircraft begun within so long of each other are one visit.
VISIT = timedelta(days=3)


def same_mistake_of(swap: Swap, by: User) -> str | None:
    """The warning to a person who entered steps of another change of this kind in this visit."""
    position, kind = swap.place.aircraft_position, kind_of(swap)
    if position is None or kind is None or swap.aircraft_id is None:
        return None
    visit = str(swap.aircraft_id)
    entries = StepEntry.objects.filter(
        entered_by=by,
        swap__aircraft=swap.aircraft_id,
        swap__opened_at__gte=swap.opened_at - VISIT,
        swap__opened_at__lte=swap.opened_at + VISIT,
        swap__place__aircraft_position__type_position__kind__code=kind,
    ).exclude(swap__place=swap.place_id)
    codes = entries.values_list(
        "swap__place__aircraft_position__type_position__code", flat=True
    ).distinct()
    person = person_of(by)
    earlier = [Change(person, kind, code, visit) for code in codes]
    this = Change(person, kind, position.type_position.code, visit)
    return warn_same_mistake(rules_of(swap.rule_set), this, earlier)
