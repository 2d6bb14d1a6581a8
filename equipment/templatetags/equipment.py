"""What equipment offers to pages: the fitted list of an aircraft, the papers of a unit."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django import template
from django.db.models import Model

from equipment.ledger.facts import PlaceAt
from equipment.ledger.on_aircraft import FittedRow, Held, by_position, ever_fitted, fitted
from equipment.offers import OFFERS
from equipment.swaps.reads.start import is_without_fits
from equipment.units.histories import Entry
from fleet.aircraft.reads import PositionRow
from fleet.house.desks import may
from fleet.models import Aircraft
from fleet.offers.offer import Ways, ways_on

register = template.Library()
PAPERS = frozenset({"certificate", "life statement", "title", "identification"})


@dataclass(frozen=True, slots=True)
class FittedPosition:
    """A position with what is in it, outermost first, each inner unit below its holder."""

    position: PositionRow
    units: list[FittedRow]
    is_recorded: bool = True

    @property
    def is_empty(self) -> bool:
        return self.position.state == "active" and not self.units

    @property
    def state(self) -> str:
        """Of an empty position: whether a record says so, or none says anything."""
        return "not-fitted" if self.is_recorded else "not-recorded"


@register.simple_tag
def fitted_on(aircraft: Aircraft, day: date, known_at: datetime | None) -> Held:
    """What was fitted at the end of a day, as the records said at ``known_at``, by position."""
    return by_position(fitted(aircraft.pk, day=day, known_at=known_at))


@register.simple_tag
def ever_fitted_on(aircraft: Aircraft, day: date, known_at: datetime | None) -> set[int]:
    """The positions of which some record said by then what was there."""
    return ever_fitted(aircraft.pk, day=day, known_at=known_at)


@register.inclusion_tag("equipment/ledger/_fitted.html", takes_context=True)
def fitted_list(
    context: dict[str, Any], positions: list[PositionRow], held: Held, recorded: set[int]
) -> dict[str, Any]:
    """Every position with what is in it and, as of today, a way to change it."""
    shown = [
        FittedPosition(position, held.get(position.id, []), position.id in recorded)
        for position in positions
    ]
    is_now = not (context.get("is_past") or context.get("known_on"))
    return {"positions": shown, "user": context.get("user"), "is_now": is_now}


@register.simple_tag(takes_context=True)
def offered_on(context: dict[str, Any], page: str, thing: Model) -> Ways:
    """The acts whose pages stand on this page, of this thing, that the person who looks may do."""
    return ways_on(OFFERS, "equipment", page, thing, context.get("user"))


@register.simple_tag(takes_context=True)
def may_do(context: dict[str, Any], act: str) -> bool:
    """Whether the person who looks at the page may do an act, by its row in the table of roles."""
    return may(context.get("user"), act)


@register.inclusion_tag("equipment/common/_fits_missing.html")
def fits_missing(place: int | PlaceAt) -> dict[str, Any]:
    """A caution beside what is proposed for a position for which no fits are entered."""
    return {"is_missing": is_without_fits(place)}


@register.inclusion_tag("equipment/units/_papers.html")
def unit_papers(entries: list[Entry]) -> dict[str, Any]:
    """The entries that are papers: certificates, statements, title, identifications."""
    return {"papers": [entry for entry in entries if entry.sort in PAPERS]}
