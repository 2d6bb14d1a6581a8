"""A discrepancy held, and its settlement written: what every way of settling begins and ends with."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from equipment.common.wording import PLACE_PARTS
from equipment.findings.walk.record import occupants
from equipment.models import Discrepancy, Movement, Settlement, Unit
from fleet.acts.repeats import done_before
from fleet.house.refusals import Refused
from fleet.models import User
from fleet.words.said import day_words

from .looked_at import lock_finding

MOST_WORDS = 400
PARTS = (
    "aircraft__station",
    "swap__station",
    "walk_round__station",
    "sighting__reconciled_by",
    "recorded_unit__part_number",
    "found_unit__part_number",
    "movement__annulment",
    "movement__corrected_by",
    *(f"place__{part}" for part in PLACE_PARTS),
)


@dataclass(frozen=True, slots=True)
class Settled:
    """A settlement on record; ``is_new`` is false where the same act had been done before."""

    settlement: Settlement
    is_new: bool = True


def settled_before(
    act_id: UUID, act: str, told: Mapping[str, Any], *, by: User, at: datetime
) -> Settled | None:
    """What the same act settled before, if it did; refuses an act id used for something else."""
    rows = Settlement.objects.select_related("settled_by").filter(act_id=act_id)
    done = done_before(act_id, act, told, rows, by=by, at=at)
    return None if done is None else Settled(done, is_new=False)


def lock_discrepancy(discrepancy_id: int) -> Discrepancy:
    """This will hold a discrepancy until the act ends.

    Refuses an unknown one, and one that somebody settled already.
    """
    lock_finding(f"discrepancy {discrepancy_id}")
    found = Discrepancy.objects.select_related(*PARTS).filter(pk=discrepancy_id).first()
    if found is None:
        raise Refused("unknown_discrepancy", "There is no such discrepancy: look it up again.")
    settled = Settlement.objects.select_related("settled_by").filter(discrepancy=found).first()
    if settled is not None:
        said = f"{settled.settled_by.shown_name} settled this on {day_words(settled.settled_at.date())}"
        raise Refused("settled_already", f"{said}: {settled.words}")
    return found


def waits(movement: Movement | None) -> bool:
    """Whether a movement that does not conform has been neither corrected nor annulled."""
    return (
        movement is not None
        and not movement.is_conforming
        and not hasattr(movement, "annulment")
        and not hasattr(movement, "corrected_by")
    )


def write(
    discrepancy: Discrepancy,
    *,
    sort: str,
    words: str,
    by: User,
    act_id: UUID,
    at: datetime,
    movement_id: int | None = None,
    swap_id: int | None = None,
) -> Settled:
    """This will write the settlement, which names the later fact."""
    made = Settlement.objects.create(
        discrepancy=discrepancy,
        act_id=act_id,
        sort=sort,
        words=words[:MOST_WORDS],
        movement_id=movement_id,
        swap_id=swap_id,
        settled_at=at,
        settled_by=by,
    )
    return Settled(made)


def recorded_of(found: Discrepancy, named: int | None) -> Unit | None:
    """The unit that the records still have at the position and that is not there."""
    stays = occupants([found.place_id or 0], found.found_at).get(found.place_id or 0, [])
    there = {stay.unit_id: stay.unit for stay in stays}
    if named is not None:
        if named not in there:
            words = "This unit is not recorded there: look up which one is."
            raise Refused("not_recorded_there", words, "recorded_unit")
        return there[named]
    return there.get(found.recorded_unit_id or 0)


def unit_named(unit_id: int, field: str) -> Unit:
    """A unit by its key, as kept after merges; refuses ``unknown_unit`` at ``field``."""
    unit = (
        Unit.objects.select_related("part_number", "merged_into__part_number")
        .filter(pk=unit_id)
        .first()
    )
    if unit is None:
        raise Refused("unknown_unit", "There is no such unit: look it up again.", field)
    return unit.merged_into or unit
