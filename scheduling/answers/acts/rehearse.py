"""What would be due if works had been done: reckoned by the engine on facts that are taken back at once."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, time
from uuid import uuid4
from zoneinfo import ZoneInfo

from django.db import transaction

from scheduling.answers.swaps import reckoned
from scheduling.facts.items import Item
from scheduling.models import WorkDone


@transaction.atomic
def due_if_done(works: Iterable[tuple[int, int]], unit_ids: list[int], on: date) -> list[Item]:
    """The due items of these units as of a day, as if these (unit, work) had been done on it.

    Nothing is kept and nobody is told: what is written for the reckoning is rolled back.
    """
    before = transaction.savepoint()
    try:
        at = datetime.combine(on, time(), ZoneInfo("UTC"))
        WorkDone.objects.bulk_create(
            WorkDone(
                work_id=work,
                unit_id=unit,
                done_on=on,
                released_on=on,
                shop_released_on=on,
                act_id=uuid4(),
                recorded_at=at,
            )
            for unit, work in works
        )
        return reckoned(unit_ids, on)
    finally:
        transaction.savepoint_rollback(before)
