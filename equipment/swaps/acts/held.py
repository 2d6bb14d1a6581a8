"""What every act of a swap begins with: the swap held, open, the step one of its own; a work in place a
known one, of one unit there, with its list."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from django.db import connection

from equipment.common.texts import _MOST
from equipment.common.wording import place_words
from equipment.models import Place, Step, StepList, Swap, SwapEnd, Unit
from equipment.stores.ports import known_works
from equipment.swaps.reads.rows import whole
from equipment.swaps.reads.start import step_list_of, unit_at
from equipment.swaps.reads.state import ONLY_OFF
from fleet.house.refusals import Refused
from fleet.words.said import moment_words

from .facts import NewSwap

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


def refuse_in_place(swap: Swap) -> None:
    """This will refuse ``moves_in_place`` where the job is a work done in place."""
    if swap.sort == Swap.IN_PLACE:
        words = (
            "This is a work done in place: it moves nothing. Where the unit must come off, give it up"
            " and record a swap."
        )
        raise Refused("moves_in_place", words)


def step_of(swap: Swap, step_id: int) -> Step:
    """A step of the list that the swap began with; refuses ``unknown_step``."""
    step = Step.objects.filter(pk=step_id, step_list=swap.step_list_id).first()
    if step is None:
        raise Refused("unknown_step", "This swap has no such step: look it up again.", "step")
    return step


# --- works done in place ---------------------------------------------------------------------


def refuse_work(new: NewSwap) -> None:
    """A work done in place names a work on record, and nothing goes on; no other names one."""
    if new.sort != Swap.IN_PLACE:
        if new.work or new.unit_id is not None:
            words = "Only a work done in place names a work and its unit."
            raise Refused("work_not_in_place", words, "work")
        return
    if new.work not in {each.code for each in known_works()}:
        raise Refused("unknown_work", "Name a work that is on record, by its code.", "work")
    if new.planned_on_id is not None:
        words = "Nothing goes on where a work is done in place: record a swap."
        raise Refused("moves_in_place", words, "planned_on")


def unit_there(place: Place, new: NewSwap) -> Unit | None:
    """The unit that the records say is there; of a work in place the one that is named, which must be."""
    unit = unit_at(place, new.unit_id)
    if new.sort != Swap.IN_PLACE or unit is not None:
        return unit
    if new.unit_id is not None:
        words = "This unit is not recorded there: look it up again."
        raise Refused("unit_not_there", words, "unit")
    if Unit.objects.filter(place=place, merged_into=None).exists():
        raise Refused("several_units", "Several units are there: say on which it is done.", "unit")
    return None


def steps_for(swap: Swap, units: Iterable[Unit | None], day: date) -> StepList | None:
    """The list in force that a swap is worked by; refuses ``no_step_list`` where one is needed."""
    found = step_list_of(swap.place, units, day, swap.work)
    if found is None and swap.sort not in ONLY_OFF:
        at = place_words(swap.place)
        what = f"{swap.work} at {at}" if swap.work else at
        words = f"No list of steps is in force for {what}: have the approved one entered."
        raise Refused("no_step_list", words, "place")
    return found
