"""What the records say of a position at an instant, as the comparison takes it; which units a plate may name."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime

from django.db.models import Q

from equipment.common.wording import place_words, unit_words
from equipment.models import Place, Sighting, Stay, Unit
from equipment.swaps.reads.given import chart_of_part

from .compare import OnRecord, Position
from .ports import expiries_of
from .seen import Seen

MOST = 5
PARTS = ("part_number", "original_part")


def occupants(place_ids: Iterable[int], at: datetime) -> dict[int, list[Stay]]:
    """Who the records, as they are now, say is at each place at an instant."""
    found: dict[int, list[Stay]] = {}
    stays = Stay.objects.filter(
        place__in=list(place_ids), known__upper_inf=True, valid__contains=at
    ).select_related(*(f"unit__{part}" for part in PARTS))
    for stay in stays.order_by("valid", "unit"):
        found.setdefault(stay.place_id, []).append(stay)
    return found


def position_of(place: Place, walk_round_id: int, at: datetime, on: date) -> Position:
    """A place as the records have it, and which of its units this walk-round has seen there."""
    stays = occupants([place.pk], at).get(place.pk, [])
    seen = Sighting.objects.filter(walk_round=walk_round_id, place=place, unit__isnull=False)
    quantities = {stay.unit_id: stay.quantity for stay in stays}
    return Position(
        words=place_words(place),
        capacity=place.capacity or 1,
        recorded=on_record([stay.unit for stay in stays], on, quantities),
        seen=frozenset(key for key in seen.values_list("unit", flat=True) if key is not None),
    )


def on_record(
    units: list[Unit], on: date, quantities: dict[int, int] | None = None
) -> tuple[OnRecord, ...]:
    """Units with what their plates should say."""
    expiries = expiries_of([unit.pk for unit in units]) if units else {}
    return tuple(
        OnRecord(
            id=unit.pk,
            words=unit_words(unit),
            serial_number=unit.serial_number,
            part_numbers=(unit.part_number.number, unit.original_part.number),
            quantity=(quantities or {}).get(unit.pk, 1),
            expiries=expiries.get(unit.pk, ()),
            band=chart_of_part(unit.part_number_id, on),
        )
        for unit in units
    )


def units_named(seen: Seen, on: date) -> tuple[OnRecord, ...]:
    """The units on record that a plate may name; none if its serial number was not read."""
    number, serial = seen.part_number_read.strip(), seen.serial_number_read.strip()
    if not serial:
        return ()
    named = Q(serial_number__iexact=serial)
    if number:
        named &= Q(part_number__number__iexact=number) | Q(original_part__number__iexact=number)
    keys = {
        kept or key
        for key, kept in Unit.objects.filter(named).values_list("pk", "merged_into")[:MOST]
    }
    units = Unit.objects.filter(pk__in=keys).select_related(*PARTS).order_by("pk")
    return on_record(list(units), on)
