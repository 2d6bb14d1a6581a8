"""What scheduling does when a lower app tells that facts changed: inside that act's transaction."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.dispatch import receiver
from django.utils import timezone

from fleet.house.pages import today
from fleet.house.signals import facts_changed
from scheduling.due.due_list import stored_day
from scheduling.reckoning.foretelling import is_foretelling
from scheduling.reckoning.recompute import note_changed
from scheduling.tasks import drain_soon


@receiver(facts_changed, dispatch_uid="scheduling_due_items")
def due_items_follow(
    sender: Any,
    unit_ids: Sequence[int] | None = None,
    aircraft_ids: Sequence[int] | None = None,
    **kwargs: Any,
) -> None:
    """The due items of a few units are right at once; those of many by the job, asked for as a row.

    They are reckoned for the day that the stored list holds for: between midnight and the night's
    run that is yesterday, and the stored items stay of one day.
    """
    if is_foretelling():
        return
    day = stored_day() or today()
    if note_changed(unit_ids=unit_ids, aircraft_ids=aircraft_ids, as_of=day, now=timezone.now()):
        drain_soon()
