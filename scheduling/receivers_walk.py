"""What scheduling answers a walk-round: which expiry a plate should say."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import date
from typing import Any

from django.dispatch import receiver

from equipment.walk.signals import expiries_asked

from .models import DueItem


@receiver(expiries_asked, dispatch_uid="scheduling_expiries")
def when_limits_run_out(
    sender: Any, *, unit_ids: Sequence[int], **kwargs: Any
) -> dict[int, list[date]]:
    """The days of the due items that the calendar alone decides; a projected day is on no plate."""
    found: dict[int, list[date]] = defaultdict(list)
    items = DueItem.objects.filter(
        unit__in=unit_ids, due_on__isnull=False, due_on_projected=False, missing=0
    )
    for unit_id, day in items.values_list("unit", "due_on").order_by("due_on", "pk"):
        if day is not None:
            found[unit_id].append(day)
    return dict(found)
