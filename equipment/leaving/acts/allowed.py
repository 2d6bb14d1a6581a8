"""What does not leave the shelf: what is set aside for somebody, and what is evidence."""

from __future__ import annotations

from datetime import date, datetime

from equipment.availability.acts.units import use_now
from equipment.models import Unit
from equipment.segregation.facts import Asked
from fleet.house.refusals import Refused


def refuse_leaving(unit: Unit, on: date, at: datetime) -> None:
    """This will refuse what is set aside (it is freed first, by who wants it away) and a suspected part, which
    stays as it is until the doubt is cleared."""
    use = use_now(unit, Asked(on, at, with_expired=False))
    if use.reserved_for:
        words = (
            f"{use.reserved_by} has set {use.words} aside for {use.reserved_for}: free it first."
        )
        raise Refused("reserved_elsewhere", words, "unit")
    for each in use.holds:
        if each.startswith("suspected unapproved part"):
            words = f"{use.words} is held: {each}. It stays as it is until the doubt is cleared."
            raise Refused("unit_on_hold", words, "unit")
