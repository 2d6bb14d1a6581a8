"""What a unit may be used for, and until when: how its page begins."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from equipment.ledger.nesting import inside_now
from equipment.models import Unit
from equipment.segregation.facts import Asked, uses_of
from equipment.segregation.rule import UnitUse, why_not_use
from fleet.aircraft.ports import groundings_of

from .ports import Ending, ends_first

#: What stops a unit that is fitted already; papers and reservations are asked before it is fitted.
STOPS_WHERE_FITTED = frozenset({"unit_unserviceable", "unit_expired", "unit_on_hold"})


@dataclass(frozen=True, slots=True)
class Standing:
    """``grounds``: why it, or what is in it, grounds the aircraft that it is on. ``why_not``: why it may not be used
    as it is; fitted, it may stay. Without a reason ``until`` says what of it ends first. ``doubts``: what its limits
    lack, and which places inside have nothing on record; a spare is then used by a named decision only."""

    why_not: tuple[str, ...]
    until: Ending | None
    doubts: tuple[str, ...]
    grounds: tuple[str, ...] = ()


def standing_of(unit: Unit, on: date, at: datetime) -> Standing:
    """How a unit stands on a day: by the rule that its issue and its fitting are judged by, and on an aircraft
    first of all by what grounds that aircraft."""
    grounds = _grounds(unit, on)
    use = uses_of([unit.pk], Asked(on=on, at=at, place_id=unit.place_id)).get(unit.pk)
    if use is None:
        return Standing((), ends_first(unit.pk, on), (), grounds)
    is_fitted = unit.aircraft_id is not None
    reasons = [
        refusal.message.removesuffix(" Take another.")
        for refusal in why_not_use(use)
        if not is_fitted or refusal.code in STOPS_WHERE_FITTED
    ]
    until = None if reasons or grounds else ends_first(unit.pk, on)
    return Standing(tuple(reasons), until, _doubts(use), grounds)


def _grounds(unit: Unit, on: date) -> tuple[str, ...]:
    if unit.aircraft_id is None:
        return ()
    own = inside_now([unit.pk])[unit.pk]
    found = groundings_of([unit.aircraft_id], on).get(unit.aircraft_id, ())
    return tuple(each.sentence for each in found if each.unit_id in own)


def _doubts(use: UnitUse) -> tuple[str, ...]:
    empty = [f"Nothing is on record inside it at {', '.join(use.empty_inside)}."]
    return (*use.unknown, *(empty if use.empty_inside else []))
