"""Whether a movement or a swap is a later fact that can settle a discrepancy."""

from __future__ import annotations

from equipment.models import Discrepancy, Movement, Swap
from fleet.house.refusals import Refused

from .settling import waits

#: What may be put right by a work that is neither a movement nor a swap: a pin taken out, a value
#: measured again. Then the words name it.
OF_WORKS = frozenset({"condition", "tool", "late_entry", "not_shown"})


def refuse_other_fact(
    found: Discrepancy, sort: str, movement_id: int | None, swap_id: int | None
) -> None:
    """This will refuse what is no later fact about the same position or units, or none at all."""
    if movement_id is not None:
        _refuse_movement(found, movement_id)
    if swap_id is not None:
        _refuse_swap(found, swap_id)
    is_named = movement_id is not None or swap_id is not None
    if not is_named and not (sort == "put_right" and found.sort in OF_WORKS):
        words = (
            "Name the movement or the swap that settles it: it is on record, or record it first."
        )
        raise Refused("later_fact_missing", words, "movement")


def _refuse_movement(found: Discrepancy, movement_id: int) -> None:
    movement = (
        Movement.objects.select_related("annulment", "corrected_by").filter(pk=movement_id).first()
    )
    if movement is None:
        raise Refused(
            "unknown_movement", "There is no such movement: look it up again.", "movement"
        )
    in_force = not hasattr(movement, "annulment") and not hasattr(movement, "corrected_by")
    if waits(movement) or not in_force:
        words = "This movement is not in force: it does not conform, or was corrected or annulled."
        raise Refused("fact_not_in_force", words, "movement")
    units = {found.recorded_unit_id, found.found_unit_id}
    if found.movement is not None:
        units.add(found.movement.unit_id)
    if movement.unit_id not in units and movement.to_place_id != found.place_id:
        words = "This movement is of another unit at another place: it settles nothing here."
        raise Refused("fact_of_another", words, "movement")
    is_before = found.movement_id is not None and movement.pk <= found.movement_id
    if is_before or movement.recorded_at <= found.found_at:
        words = "This movement was recorded before that was found: name what was recorded since."
        raise Refused("fact_is_earlier", words, "movement")


def _refuse_swap(found: Discrepancy, swap_id: int) -> None:
    swap = Swap.objects.select_related("end").filter(pk=swap_id).first()
    if swap is None:
        raise Refused("unknown_swap", "There is no such swap: look it up again.", "swap")
    if swap.place_id != found.place_id:
        words = "This swap is of another position: it settles nothing here."
        raise Refused("fact_of_another", words, "swap")
    end = getattr(swap, "end", None)
    if end is not None and end.sort == "abandoned":
        raise Refused("fact_not_in_force", "This swap was abandoned: it settles nothing.", "swap")
    if swap.pk == found.swap_id:
        return
    if end is None:
        words = "This swap is not released yet: it settles this once it is."
        raise Refused("swap_not_released", words, "swap")
    if end.at < found.found_at:
        words = "This swap was released before that was found: name what was done since."
        raise Refused("fact_is_earlier", words, "swap")
