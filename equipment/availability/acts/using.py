"""Why a unit may not be used for a need: asked by whoever sets aside, issues or proposes. Writes nothing."""

from __future__ import annotations

from datetime import date, datetime
from zoneinfo import ZoneInfo

from equipment.keeping.record import why_not_record
from equipment.ledger.facts import MovementFact, When
from equipment.models import Place
from equipment.segregation.facts import Asked, aircraft_names, uses_of
from equipment.segregation.rule import asks_decision, why_not_use
from fleet.house.refusals import Refusal

#: Reasons against an installation that say that the unit may never go there, not only that records clash.
DOES_NOT_FIT = frozenset(
    {"part_does_not_fit", "kind_differs", "sides_differ", "position_absent", "position_deactivated"}
)


def why_not_use_unit(
    *, unit_id: int, place: Place | None, need_on: date, at: datetime
) -> list[Refusal]:
    """Every reason against using a unit at a place on a day, with the codes of segregation; without a
    place those of the unit alone, any reservation counted as another's."""
    asked = Asked(
        max(need_on, at.date()),
        at,
        place.pk if place else None,
        aircraft_names(place),
        with_expired=True,
    )
    found = uses_of([unit_id], asked).get(unit_id)
    if found is None:
        return [Refusal("unknown_unit", "There is no such unit: receive it first.", "unit")]
    return [*why_not_use(found), *(_why_not_fit(unit_id, place, at) if place else [])]


def asks_decision_of(*, unit_id: int, need_on: date, at: datetime) -> list[Refusal]:
    """Why a unit is handed over by a named decision only, if it is still so on the day of the need."""
    use = uses_of([unit_id], Asked(max(need_on, at.date()), at)).get(unit_id)
    return asks_decision(use) if use is not None else []


def _why_not_fit(unit_id: int, place: Place, at: datetime) -> list[Refusal]:
    if place.sort not in (Place.AIRCRAFT, Place.INSIDE):
        return []
    when = When(at.astimezone(ZoneInfo("UTC")), "instant")
    reasons = why_not_record(rows=[MovementFact(unit_id, "installed", place.pk, when)], at=at)
    return [
        Refusal("part_does_not_fit", each.message, "unit")
        for each in reasons.get(0, [])
        if each.code in DOES_NOT_FIT
    ]
