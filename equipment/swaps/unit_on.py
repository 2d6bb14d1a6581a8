"""The unit that went on, and each reason of the equipment's own why it should not."""

from __future__ import annotations

from django.db.models import Q

from equipment.judging.release import Obstacle, UnitOnFacts
from equipment.models import (
    Certificate,
    Hold,
    Movement,
    PartPosition,
    Place,
    Reservation,
    Unit,
    UnitTag,
)
from equipment.wording import place_words, unit_words
from fleet.drawing.words import day_words

from .rows import SwapRows
from .shop_first import not_back_from_shop

# Reasons against a movement that say that the unit may not be there, not only that records clash.
MAY_NOT_GO_THERE = frozenset(
    {"part_does_not_fit", "kind_differs", "sides_differ", "position_absent", "position_deactivated"}
)
GOOD_TAGS = ("", "serviceable")


def unit_on_of(rows: SwapRows) -> UnitOnFacts | None:
    """The facts of the unit that was installed; None if none was recorded."""
    if rows.on is None:
        return None
    unit = rows.on.unit
    why = why_not_there(rows.on)
    return UnitOnFacts(
        words=unit_words(unit),
        fits=not why,
        why_not_fit=why,
        has_certificate=_is_refitted(rows) or has_certificate(unit),
        is_quarantined=_is_quarantined(unit),
        reserved_elsewhere=reserved_elsewhere(unit, rows.swap.place_id),
        nested_unaccounted=tuple(empty_inside(unit)),
    )


def why_not_there(movement: Movement) -> str:
    """The reasons against an installation that are about the unit and the position themselves."""
    found = [each for each in movement.reasons if each.get("code") in MAY_NOT_GO_THERE]
    return " ".join(str(each.get("message", "")) for each in found)


def _is_refitted(rows: SwapRows) -> bool:
    """The same unit taken off and refitted needs no new paper, unless it is tagged unserviceable."""
    return rows.off is not None and rows.on is not None and rows.off.unit_id == rows.on.unit_id


def _ids(unit: Unit) -> list[int]:
    """The unit with those that turned out to be it."""
    kept = unit.merged_into_id or unit.pk
    return [kept, *Unit.objects.filter(merged_into=kept).values_list("pk", flat=True)]


def has_certificate(unit: Unit) -> bool:
    return Certificate.objects.filter(unit__in=_ids(unit)).exists()


def _is_quarantined(unit: Unit) -> bool:
    return Unit.objects.filter(pk=unit.pk, place__sort=Place.QUARANTINE).exists()


def reserved_elsewhere(unit: Unit, place_id: int) -> str:
    """For what other need the unit is set aside, in words; empty if for none."""
    held = Reservation.objects.filter(unit__in=_ids(unit), ended_at=None)
    found = held.exclude(place=place_id).first()
    return f"{place_words(found.place)} on {day_words(found.need_on)}" if found else ""


def empty_inside(unit: Unit) -> list[str]:
    """The positions inside a unit at which nothing is recorded, in words."""
    positions = PartPosition.objects.filter(part_number=unit.part_number_id)
    held = Unit.objects.filter(place__parent_unit__in=_ids(unit), merged_into=None)
    # Named by code: what was fitted before a re-identification is at the old part's position.
    taken = set(held.values_list("place__part_position__code", flat=True))
    codes = positions.order_by("code").values_list("code", flat=True)
    return [f"{code} of {unit_words(unit)}" for code in codes if code not in taken]


def held_or_unserviceable(unit: Unit) -> list[Obstacle]:
    """The unit's latest tag if it is not good, and doubts about it that are not cleared."""
    ids, words = _ids(unit), unit_words(unit)
    found = []
    tag = UnitTag.objects.filter(unit__in=ids).order_by("-tagged_at", "-pk").first()
    if tag is not None and tag.sort not in GOOD_TAGS:
        sentence = f"{words} is tagged {tag.get_sort_display()}: {tag.get_why_display()}."
        found.append(Obstacle("unit_unserviceable", sentence))
    elif (before := not_back_from_shop(ids)) is not None:
        why = before.get_why_display() if before.why else before.get_sort_display()
        sentence = f"{words} was tagged as {why} and the shop has not had it since."
        found.append(Obstacle("unit_unserviceable", sentence))
    certificates = Certificate.objects.filter(unit__in=ids)
    numbers = certificates.values("tracking_number")
    suppliers = certificates.exclude(supplier="").values("supplier")
    doubts = Hold.objects.filter(ended=None).filter(
        Q(unit__in=ids)
        | Q(scope="certificate", value__in=numbers)
        | Q(scope="supplier", value__in=suppliers)
        | Q(scope="lot", value=unit.serial_number)
    )
    found += [
        Obstacle("unit_on_hold", f"{words} is held: {hold.get_why_display()}, {hold.words}.")
        for hold in doubts.order_by("pk")
    ]
    return found
