"""Jobs of the fleet: each drains rows, and may be killed at any point."""

from __future__ import annotations

from celery import shared_task
from django.utils import timezone

from fleet.house.pages import today
from fleet.loading.work import drain


@shared_task(name="fleet.tasks.drain_loads")
def drain_loads() -> int:
    """This will work on every load of sheets that waits; beat asks every few seconds."""
    return drain(now=timezone.now, today=today())
