"""What scheduling does when a lower app says that facts changed: inside that act's transaction."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from typing import Any
from uuid import uuid5

from django.dispatch import receiver
from django.utils import timezone

from equipment.judging.release import Obstacle
from equipment.models import Signature, Swap
from equipment.signals import (
    BottleLimits,
    bottle_asked,
    life_status_asked,
    release_asked,
    swap_released,
)
from equipment.swaps.rows import day_of
from fleet.pages import today, zone
from fleet.signals import facts_changed

from . import swaps
from .actions.recompute import note_changed
from .actions.works import NewWork, record_works
from .queries import stored_day
from .tasks import drain_soon


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
    day = stored_day() or today()
    if note_changed(unit_ids=unit_ids, aircraft_ids=aircraft_ids, as_of=day, now=timezone.now()):
        drain_soon()


@receiver(release_asked, dispatch_uid="scheduling_release_asked")
def what_is_due_stands_in_the_way(
    sender: Any,
    *,
    swap: Swap,
    unit_on_id: int | None,
    earned: Sequence[str],
    at: datetime,
    **kwargs: Any,
) -> list[Obstacle]:
    """The unit that went on, and all inside it, may not be past a limit or without a basis."""
    if unit_on_id is None:
        return []
    return swaps.why_due(unit_on_id, day_of(swap, at), earned)


@receiver(swap_released, dispatch_uid="scheduling_swap_released")
def works_are_earned(
    sender: Any,
    *,
    swap: Swap,
    signature: Signature,
    unit_on_id: int | None,
    unit_off_id: int | None,
    works: Sequence[str],
    at: datetime,
    **kwargs: Any,
) -> set[str]:
    """The works that the job counts as are recorded of its unit; the codes that were."""
    unit = unit_on_id or unit_off_id
    if unit is None or not works:
        return set()
    day = day_of(swap, at)
    subjects = swaps.subjects_of_works(unit, list(works), day)
    rows = [
        NewWork(
            work_id=work.pk,
            unit_id=subject,
            done_on=day,
            released_on=day,
            act_id=uuid5(signature.act_id, f"{code} {subject}"),
            who=signature.name[:80],
            document=f"swap {swap.pk}",
            certificate=signature.authorisation_words[:40],
        )
        for subject, code, work in subjects
    ]
    record_works(by=signature.by, rows=rows, now=at)
    return {code for _, code, _ in subjects}


@receiver(life_status_asked, dispatch_uid="scheduling_life_status")
def life_is_told(sender: Any, *, unit_id: int, at: datetime, **kwargs: Any) -> list[dict[str, Any]]:
    """What of a unit's life is used and left, as of the operator's day."""
    return swaps.life_status(unit_id, at.astimezone(zone()).date())


@receiver(bottle_asked, dispatch_uid="scheduling_bottle")
def bottle_is_told(sender: Any, *, unit_id: int, on: date, **kwargs: Any) -> BottleLimits:
    """What a bottle's limits say as of a day: its test, its life, its fillings."""
    return swaps.bottle_limits(unit_id, on)
