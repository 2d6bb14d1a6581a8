"""Movements that were recorded though they contradict the records, and that nobody has reconciled."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime

from django.db.models import Q, QuerySet

from equipment.common.wording import PLACE_PARTS, happened_on_words, movement_words, unit_words
from equipment.models import Discrepancy, Movement, Unit


def waiting() -> QuerySet[Movement]:
    """Those that no discrepancy speaks of: of the others its settlement tells whether they still wait."""
    told = Discrepancy.objects.filter(movement__isnull=False).values("movement")
    parts = (f"to_place__{part}" for part in PLACE_PARTS)
    rows = Movement.objects.nonconforming().exclude(pk__in=told)
    return rows.select_related("unit__part_number", "unit__merged_into", *parts)


def of_units(unit_ids: Iterable[int]) -> list[Movement]:
    """Of these units (as kept), whichever of their records they were told of."""
    return list(waiting().filter(unit__in=Unit.objects.same_as(list(unit_ids))))


def on_aircraft(
    aircraft_ids: Sequence[int] | None, until: datetime | None = None
) -> list[tuple[int, Movement]]:
    """(aircraft, movement) of what is on these aircraft (all: None), or is told to have come there, of what
    happened by an instant."""
    unit = Q(unit__aircraft__isnull=False) | Q(unit__merged_into__aircraft__isnull=False)
    there = Q(to_place__aircraft_position__isnull=False)
    happened = {} if until is None else {"happened_at__lte": until}
    wanted = None if aircraft_ids is None else set(aircraft_ids)
    pairs = [
        (each, movement)
        for movement in waiting().filter(unit | there, **happened)
        for each in _of(movement)
    ]
    return [pair for pair in pairs if wanted is None or pair[0] in wanted]


def _of(movement: Movement) -> set[int]:
    unit = movement.unit.merged_into or movement.unit
    position = movement.to_place.aircraft_position
    found = {unit.aircraft_id, position.aircraft_id if position else None}
    return {each for each in found if each is not None}


def sentence_of(movement: Movement) -> str:
    """``HS-1 S/N 7, quarantined at quarantine NRV on 3 Mar 2027, does not conform and waits to be reconciled.``"""
    what = (
        f"{unit_words(movement.unit)}, {movement_words(movement)} on {happened_on_words(movement)},"
    )
    return f"{what} does not conform and waits to be reconciled."
