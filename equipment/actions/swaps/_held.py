"""What every act of a swap begins with: the swap held, open, and the step one of its own."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from uuid import NAMESPACE_OID, UUID, uuid5

from django.db import connection

from equipment.models import Step, Swap, SwapEnd
from equipment.swaps.rows import whole
from fleet.refusals import Refusal, Refused

# The application may only add to a swap's table, so its row cannot be locked: a lock of its number
# stands for it. Always the first that an act takes; places and units come after.
OF_SWAPS, OF_PLACES = 7_204_411, 7_204_412
_MOST = 2**31 - 1


def hold_swap(swap_id: int) -> Swap:
    """This will hold a swap until the act ends, whoever else acts on it; refuses ``unknown_swap``."""
    _hold(OF_SWAPS, swap_id)
    found = whole(swap_id)
    if found is None:
        raise Refused("unknown_swap", "There is no such swap: look it up again.", "swap")
    return found


def hold_openings_at(place_id: int) -> None:
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
            f"{end.by.shown_name} {end.get_sort_display()} this swap on {end.at:%d %B %Y, %H:%M}"
            " UTC. Nothing can be added to it: have it corrected if something is wrong.",
        )


def step_of(swap: Swap, step_id: int) -> Step:
    """A step of the list that the swap began with; refuses ``unknown_step``."""
    step = Step.objects.filter(pk=step_id, step_list=swap.step_list_id).first()
    if step is None:
        raise Refused("unknown_step", "This swap has no such step: look it up again.", "step")
    return step


def refuse_all(problems: Sequence[Refusal]) -> None:
    """This will refuse with every reason, if there is any."""
    if problems:
        raise Refused.all_of(list(problems))


def act_of(act_id: UUID, what: str) -> UUID:
    """The id of a row that an act writes beside its own: the same whenever the act is sent again."""
    return uuid5(NAMESPACE_OID, f"{act_id} {what}")


def not_before(at: datetime, *times: datetime | None) -> datetime:
    """``at``, or the latest of these: clocks of two servers differ, the order of acts does not."""
    return max([at, *(time for time in times if time is not None)])


def refuse_long(text: str, most: int, field: str) -> None:
    if len(text) > most:
        raise Refused("too_long", f"No longer than {most} characters, please.", field)


def refuse_blank(text: str, sentence: str, field: str) -> None:
    if not text.strip():
        raise Refused("missing", sentence, field)
