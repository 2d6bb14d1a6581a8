"""What of the equipment's own grounds aircraft: open swaps, what does not conform, what is past its document,
and what is not serviceable."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import date

from django.db.models import Q

from equipment.common.wording import PLACE_PARTS, place_words
from equipment.models import Discrepancy, OpenItem, Swap
from fleet.aircraft.ports import Grounding
from fleet.house.pages import end_of
from fleet.words.said import day_words, moment_words

from .unfit import Unfit, sentences_of
from .unreconciled import on_aircraft, sentence_of

Groundings = dict[int, list[Grounding]]


def of_equipment(
    aircraft_ids: Sequence[int] | None, on: date, unfit: Sequence[Unfit]
) -> Groundings:
    """Everything of the equipment that grounds each of these aircraft (all: None) on a day, the gravest
    first. ``unfit`` is what is not serviceable on them; what a document lets stay grounds nothing."""
    found: Groundings = defaultdict(list)
    _of_units([each for each in unfit if each.grounds(on)], found)
    _of_discrepancies(aircraft_ids, on, found)
    for aircraft, movement in on_aircraft(aircraft_ids, end_of(on)):
        unit = movement.unit.merged_into_id or movement.unit_id
        found[aircraft].append(Grounding("does_not_conform", sentence_of(movement), unit_id=unit))
    _of_open_items(aircraft_ids, on, found)
    _of_swaps(aircraft_ids, on, found)
    return dict(found)


def _of_units(unfit: Sequence[Unfit], found: Groundings) -> None:
    words = sentences_of(unfit)
    for each in unfit:
        sentence = f"{each.position}: {words[each.unit_id]}"
        found[each.aircraft_id].append(
            Grounding(each.code, sentence, each.position, unit_id=each.unit_id)
        )


def _asked(aircraft_ids: Sequence[int] | None) -> dict[str, Sequence[int] | bool]:
    return {"aircraft__isnull": False} if aircraft_ids is None else {"aircraft__in": aircraft_ids}


def _of_discrepancies(aircraft_ids: Sequence[int] | None, on: date, found: Groundings) -> None:
    end = end_of(on)
    open_then = Q(settlement__isnull=True) | Q(settlement__settled_at__gt=end)
    rows = Discrepancy.objects.filter(open_then, found_at__lte=end, **_asked(aircraft_ids))
    rows = rows.exclude(sort__in=Discrepancy.OF_RECORDS)
    columns = ("aircraft", "words", "place__aircraft_position__type_position__code", "swap")
    for aircraft, words, position, swap in rows.order_by("found_at", "pk").values_list(*columns):
        found[aircraft].append(Grounding("does_not_conform", words, position or "", swap_id=swap))


def _of_open_items(aircraft_ids: Sequence[int] | None, on: date, found: Groundings) -> None:
    rows = OpenItem.objects.open_on(on).filter(expires_on__lt=on, **_asked(aircraft_ids))
    rows = rows.select_related("place__aircraft_position__type_position")
    for item in rows.order_by("expires_on", "pk"):
        position = item.place.aircraft_position if item.place else None
        sentence = f"{item.words.rstrip('.')}: {item.document} was good until {day_words(item.expires_on)}."
        found[item.aircraft_id].append(
            Grounding(
                "open_item_expired", sentence, position.type_position.code if position else ""
            )
        )


def _of_swaps(aircraft_ids: Sequence[int] | None, on: date, found: Groundings) -> None:
    end = end_of(on)
    open_then = Q(end__isnull=True) | Q(end__at__gt=end)
    rows = Swap.objects.filter(open_then, opened_at__lte=end, **_asked(aircraft_ids))
    rows = rows.select_related(*(f"place__{part}" for part in PLACE_PARTS))
    for swap in rows.order_by("opened_at", "pk"):
        position = swap.place.aircraft_position
        sentence = (
            f"A swap is open at {place_words(swap.place)}, since {moment_words(swap.opened_at)}."
        )
        code = position.type_position.code if position else ""
        found[swap.aircraft_id or 0].append(Grounding("swap_open", sentence, code, swap_id=swap.pk))
