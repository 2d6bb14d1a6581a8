"""Where a unit is and what happened to it, in words."""

from __future__ import annotations

from zoneinfo import ZoneInfo

from equipment.models import Movement, Place, Unit
from fleet.words.said import dated_words

#: How the place of what is sent to another station begins, until it is received there.
IN_TRANSIT = "in transit"

# How a movement reads before the place it led to.
LED_TO = {
    "received": "received into",
    "installed": "installed at",
    "removed": "removed to",
    "sent": "sent to",
    "returned": "returned to",
    "quarantined": "quarantined at",
    "released": "released to stock at",
    "lent": "lent to",
    "borrowed": "borrowed into",
    "exchanged": "exchanged to",
    "sold": "sold to",
    "lost": "lost:",
    "found": "found at",
    "scrapped": "scrapped:",
    "split": "split from a lot into",
    "stowed": "put into",
    "used": "used up:",
    "joined": "joined:",
}
# What place_words reads of a place, so that a page of places is one query.
PLACE_PARTS = (
    "station",
    "aircraft_position__aircraft",
    "aircraft_position__type_position",
    "part_position",
    "parent_unit__part_number",
)


def place_words(place: Place | None) -> str:
    """``QK-ANB D1L-SLIDE``, ``LIGHT in PN 100-1 S/N 7``, ``store NRV``. Reads PLACE_PARTS."""
    if place is None:
        return "not yet received"
    if place.aircraft_position is not None:
        return f"{place.aircraft_position.aircraft} {place.aircraft_position.type_position.code}"
    if place.parent_unit is not None and place.part_position is not None:
        return f"{place.part_position.code} in {place.parent_unit}"
    name = f" {place.name}" if place.name else ""
    words = {"store": "store", "quarantine": "quarantine", "shop": "shop", "party": "", "gone": ""}
    at = f" {place.station.code}" if place.station else ""
    return f"{words[place.sort]}{at}{name}".strip() or place.get_sort_display()


def transit_words(place: Place | None) -> str:
    """``in transit NRV to LYD`` of what is on its way from one station to another; else nothing."""
    is_there = place is not None and place.sort == Place.PARTY and place.name.startswith(IN_TRANSIT)
    return place.name if place is not None and is_there else ""


def movement_words(movement: Movement) -> str:
    """``installed at QK-ANB D1L-SLIDE``."""
    return f"{LED_TO.get(movement.sort, movement.sort)} {place_words(movement.to_place)}"


def happened_on_words(movement: Movement) -> str:
    """The day of a movement where it happened, no more exact than it is known."""
    here = movement.happened_at.astimezone(ZoneInfo(movement.zone))
    return dated_words(here.date(), movement.precision)


def unit_words(unit: Unit) -> str:
    return f"{unit.part_number.number} S/N {unit.serial_number}"
