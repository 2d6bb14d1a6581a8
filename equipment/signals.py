"""How a swap asks an upper layer, and tells it, without importing it. Receivers run inside the act."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.dispatch import Signal

from .judging.release import Obstacle, SwapState
from .models import Signature, Swap

#: What else stands in the way of a release? Arguments: swap, state, unit_on_id, earned (codes of
#: works that the job counts as), at. Receivers return a list of :class:`Obstacle`.
release_asked = Signal()
#: A swap is released. Arguments: swap, signature, unit_on_id, unit_off_id, works (codes), at.
#: Receivers record the works and return a list of the codes that they recorded.
swap_released = Signal()
#: How much of its life has a unit used? Arguments: unit_id, at. Receivers return a list of
#: ``{"limit", "used", "left", "unit"}``, all texts, one for each limit of its life.
life_status_asked = Signal()

#: What do a bottle's limits say? Arguments: unit_id, on (a day). Receivers return a
#: :class:`BottleLimits`, or None.
bottle_asked = Signal()


@dataclass(frozen=True, slots=True)
class BottleLimits:
    """When a bottle may no longer be filled, when its life ends, how many fillings are left of it."""

    requalify_by: date | None = None
    is_test_required: bool = False
    life_ends_on: date | None = None
    fillings_left: int | None = None


def bottle_limits_of(unit_id: int, on: date) -> BottleLimits:
    """What the limits of a bottle say as of a day; of one without limits that nothing is known."""
    for _, found in bottle_asked.send(sender=Swap, unit_id=unit_id, on=on):
        if isinstance(found, BottleLimits):
            return found
    return BottleLimits()


def asked_of_others(
    swap: Swap, state: SwapState, *, unit_on_id: int | None, earned: list[str], at: datetime
) -> list[Obstacle]:
    """What upper layers say stands in the way."""
    answers = release_asked.send(
        sender=Swap, swap=swap, state=state, unit_on_id=unit_on_id, earned=earned, at=at
    )
    return [obstacle for _, found in answers for obstacle in _listed(found)]


def told_of_release(
    swap: Swap,
    signature: Signature,
    *,
    unit_on_id: int | None,
    unit_off_id: int | None,
    works: list[str],
    at: datetime,
) -> set[str]:
    """The codes of works that were recorded."""
    answers = swap_released.send(
        sender=Swap,
        swap=swap,
        signature=signature,
        unit_on_id=unit_on_id,
        unit_off_id=unit_off_id,
        works=works,
        at=at,
    )
    return {code for _, found in answers for code in _listed(found)}


def life_status_of(unit_id: int, at: datetime) -> list[dict[str, Any]]:
    """What of a unit's life is used and left, by limit; empty if nothing limits it."""
    answers = life_status_asked.send(sender=Swap, unit_id=unit_id, at=at)
    return [told for _, found in answers for told in _listed(found)]


def _listed(found: Any) -> Any:
    """What a receiver answered; Django types it as a text."""
    return found or ()
