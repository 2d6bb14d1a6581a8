"""The unit that an act of the stores is about: found, held, and where it is."""

from __future__ import annotations

from datetime import date, datetime
from zoneinfo import ZoneInfo

from equipment.common.wording import PLACE_PARTS, place_words, unit_words
from equipment.keeping.locks import lock
from equipment.ledger.facts import When
from equipment.models import Place, Unit
from equipment.segregation.facts import Asked, uses_of
from equipment.segregation.rule import UnitUse
from fleet.house.refusals import Refused


def lock_unit(unit_id: int) -> Unit:
    """This will hold a unit (as kept) until the act ends; refuses ``unknown_unit``."""
    found = Unit.objects.filter(pk=unit_id).values_list("pk", "merged_into").first()
    if found is None:
        raise Refused("unknown_unit", "There is no such unit: receive it first.", "unit")
    kept = found[1] or found[0]
    lock(places=(), units=[kept])
    parts = (f"place__{part}" for part in PLACE_PARTS)
    return Unit.objects.select_related("part_number__kind", *parts).get(pk=kept)


def refuse_not_at(unit: Unit, code: str, *sorts: str) -> Place:
    """The unit's place, if it is of one of these sorts; else this will refuse with where it is."""
    place = unit.place
    if place is None or place.sort not in sorts:
        words = " or ".join(
            {"store": "in a store", "quarantine": "in quarantine"}[s] for s in sorts
        )
        raise Refused(code, f"{unit_words(unit)} is not {words}: {place_words(place)}.", "unit")
    return place


def when_on(day: date, zone: str, at: datetime) -> When:
    """A day said today about today is now, after what was recorded this morning; another day is a day alone."""
    is_today = at.astimezone(ZoneInfo(zone)).date() == day
    return When(at, "instant", zone) if is_today else When.on(day, zone)


def use_now(unit: Unit, asked: Asked) -> UnitUse:
    return uses_of([unit.pk], asked)[unit.pk]
