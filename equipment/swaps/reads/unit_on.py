"""The unit that went on, and each reason of the equipment's own why it should not."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from datetime import date, datetime

from equipment.common.wording import PLACE_PARTS, unit_words
from equipment.judging.release.obstacles import Obstacle, UnitOnFacts
from equipment.ledger.nesting import inside_now
from equipment.models import Movement, PartPosition, Place, Unit
from equipment.segregation.facts import Asked, aircraft_names, uses_of
from equipment.segregation.rule import UnitUse, why_not_use
from equipment.segregation.shop_first import straight_from_shop

from .rows import SwapRows, day_of

# Reasons against a movement that say that the unit may not be there, not only that records clash.
MAY_NOT_GO_THERE = frozenset(
    {"part_does_not_fit", "kind_differs", "sides_differ", "position_absent", "position_deactivated"}
)
#: Reasons of the ledger that the unit was not in stock: told under the same code by every door.
NOT_IN_STOCK = frozenset({"unit_scrapped", "unit_recorded_elsewhere"})


def unit_on_of(rows: SwapRows, at: datetime) -> UnitOnFacts | None:
    """The facts of the unit that was installed, as of an instant; None if none was recorded."""
    if rows.on is None:
        return None
    unit = rows.on.unit
    why = " ".join(_said(rows.on, MAY_NOT_GO_THERE).values())
    return UnitOnFacts(
        words=unit_words(unit),
        fits=not why,
        why_not_fit=why,
        why_not_use=tuple(_why_not_use(rows, rows.on, at)),
        nested_unaccounted=tuple(empty_inside(unit)),
    )


def _said(movement: Movement, codes: frozenset[str]) -> dict[str, str]:
    """The reasons of these codes against a movement."""
    found = {str(each.get("code")): str(each.get("message", "")) for each in movement.reasons}
    return {code: words for code, words in found.items() if code in codes}


def _why_not_use(rows: SwapRows, on: Movement, at: datetime) -> list[Obstacle]:
    """Every reason of segregation, by the one rule that setting aside and issuing ask too.

    What has run out is asked of the upper layer, which knows the works that the swap itself earns.
    """
    use = use_at(on.unit, rows.swap.place, day_of(rows.swap, at), at)
    if _is_refitted(rows):
        use = replace(use, has_certificate=True, dual_release_for="")
    else:
        records = Unit.objects.same_as([on.unit]).values_list("pk", flat=True)
        shop = straight_from_shop(records, on.happened_at)
        use = replace(use, at_shop=use.at_shop or shop)
    found = [Obstacle(each.code, each.message) for each in why_not_use(use)]
    return found + [Obstacle(*each) for each in _said(on, NOT_IN_STOCK).items()]


def _is_refitted(rows: SwapRows) -> bool:
    """The same unit taken off and refitted needs no new paper, and may come straight from the shop that
    looked at it meanwhile, unless it is tagged unserviceable."""
    return rows.off is not None and rows.on is not None and rows.off.unit_id == rows.on.unit_id


def use_at(unit: Unit, place: Place, on: date, at: datetime) -> UnitUse:
    """What the use of a unit at a place is judged by on a day, but for what has run out."""
    asked = Asked(on, at, place.pk, aircraft_names(place), with_expired=False)
    return uses_of([unit.pk], asked)[unit.pk]


def empty_inside(unit: Unit) -> list[str]:
    """The positions inside a unit, and inside what is in it, at which nothing is recorded, in words."""
    every = inside_now([unit.pk])[unit.pk]
    parts = (f"place__{part}" for part in PLACE_PARTS)
    rows = Unit.objects.select_related("part_number", "place__parent_unit__merged_into", *parts)
    units = rows.in_bulk(every)
    # Named by code: what was fitted before a re-identification is at the old part's position.
    taken = {
        (each.place.around_id, each.place.part_position.code)
        for each in units.values()
        if each.place is not None and each.place.part_position is not None
    }
    codes: dict[int, list[str]] = defaultdict(list)
    of_parts = PartPosition.objects.filter(
        part_number__in={u.part_number_id for u in units.values()}
    )
    for part, code in of_parts.order_by("code", "pk").values_list("part_number", "code"):
        codes[part].append(code)
    return [
        f"{code} of {unit_words(units[each])}"
        for each in every
        for code in codes[units[each].part_number_id]
        if (each, code) not in taken
    ]
