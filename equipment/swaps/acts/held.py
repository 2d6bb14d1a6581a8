"""What every act of a swap begins with: the swap held, open, and the step one of its own."""

from __future__ import annotations

from django.db import connection

from equipment.common.texts import _MOST
from equipment.models import Step, Swap, SwapEnd
from equipment.swaps.reads.rows import whole
from fleet.house.refusals import Refused
from fleet.words.said import moment_words

# The application may only add to a swap's table, so its row cannot be locked: a lock of its number
# stands for it. Always the first that an act takes; places and units come after.
OF_SWAPS, OF_PLACES = 7_204_411, 7_204_412


def lock_swap(swap_id: int) -> Swap:
    """This will hold a swap until the act ends, whoever else acts on it; refuses ``unknown_swap``."""
    _hold(OF_SWAPS, swap_id)
    found = whole(swap_id)
    if found is None:
        raise Refused("unknown_swap", "There is no such swap: look it up again.", "swap")
    return found


def lock_openings_at(place_id: int) -> None:
    """This will let one person at a time open a swap at a place."""
    _hold(OF_PLACES, place_id)


def _hold(what: int, key: int) -> None:
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_advisory_xact_lock(%s, %s)", [what, key % _MOST])


def refuse_ended(swap: Swap) -> None:
    """This will refuse ``swap_ended`` where the swap was released or abandoned."""
    end = SwapEnd.objects.filter(swap=swap).select_related("by").first()
    if end is not None:
        raise Refused(
            "swap_ended",
            f"{end.by.shown_name} {end.get_sort_display()} this swap on {moment_words(end.at)}."
            " Nothing can be added to it: have it corrected if something is wrong.",
        )


def step_of(swap: Swap, step_id: int) -> Step:
    """A step of the list that the swap began with; refuses ``unknown_step``."""
    step = Step.objects.filter(pk=step_id, step_list=swap.step_list_id).first()
    if step is None:
        raise Refused("unknown_step", "This swap has no such step: look it up again.", "step")
    return step
