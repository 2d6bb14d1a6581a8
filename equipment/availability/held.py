"""Holds as their page shows them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from equipment.availability.acts.holds import held_by
from equipment.common.scanned import units_of
from equipment.common.wording import unit_words
from equipment.models import Hold
from fleet.house.refusals import Refused


@dataclass(frozen=True, slots=True)
class HoldTold:
    """A hold: what it is about, how many units it holds now, how many of them are fitted."""

    hold: Hold
    what: str
    units: int
    fitted: int


def hold_words(hold: Hold) -> str:
    if hold.unit is not None:
        return unit_words(hold.unit)
    return f"{hold.get_scope_display()}: {hold.value}"


def open_holds() -> list[HoldTold]:
    """What is held now, the newest first."""
    rows = Hold.objects.filter(ended=None).select_related("unit__part_number", "held_by")
    return [told(hold) for hold in rows.order_by("-held_at", "-pk")]


def told(hold: Hold) -> HoldTold:
    held = held_by(hold)
    return HoldTold(hold, hold_words(hold), len(held.unit_ids), len(held.fitted_ids))


def unit_id_of(given: Mapping[str, Any], year: int) -> int | None:
    """The unit that a hold of one unit names; refuses a number that means none, or several."""
    if given["scope"] != "unit":
        return None
    found = units_of(given["value"], year)
    if len(found) == 1:
        return found[0].pk
    words = "No unit on record has this number: scan it, or give part number and serial number."
    if found:
        several = "; ".join(unit_words(unit) for unit in found)
        words = f"Several units have this number: {several}. Give part number and serial number."
    raise Refused("unknown_unit", words, "value")
