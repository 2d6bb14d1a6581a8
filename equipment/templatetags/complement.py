"""The complement asked of an aircraft, as a block of its page."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import template

from equipment.complement.reads import complement_of, is_asked
from fleet.house.desks import may
from fleet.models import Aircraft, User

register = template.Library()


@register.inclusion_tag("equipment/complement/_required.html")
def required_complement(aircraft: Aircraft, on: date, by: User) -> dict[str, Any]:
    """What must be on board and whether it is; nothing where the operator has not entered any rule."""
    found = complement_of(aircraft, on)
    return {
        "aircraft": aircraft,
        "complement": found,
        "is_shown": found.cabin is not None or is_asked(),
        "may_state": may(by, "state_cabin"),
    }
