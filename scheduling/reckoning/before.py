"""The day's list kept before another day's takes its place."""

from __future__ import annotations

from datetime import datetime

from django.db import connection, transaction

from scheduling.engine.basis.bands import Band
from scheduling.facts.due_table import COLUMNS
from scheduling.models import RecomputeRun

_NAMES = ", ".join(column.name for column in COLUMNS)
_OF = ", ".join(f"d.{column.name}" for column in COLUMNS)
COPY = f"""
INSERT INTO scheduling_itembefore ({_NAMES}, check_starts_on)
SELECT {_OF}, c.starts_on FROM scheduling_dueitem d LEFT JOIN fleet_check c ON c.id = d.check_planned_id
WHERE d.band <> %s
"""


def keep_before(run: RecomputeRun, now: datetime) -> None:
    """This will keep the stored list as it stands where the run is of a later day, and note on the run which.

    All or nothing. A run that was killed and begins anew keeps nothing more: its items are of two days.
    """
    whole = RecomputeRun.objects.filter(unit_ids=None)
    ended = whole.filter(finished_at__isnull=False).order_by("-finished_at", "-pk").first()
    kept = whole.filter(kept_at__isnull=False).order_by("-kept_at", "-pk").first()
    if ended is None or ended.as_of >= run.as_of:
        return
    if kept is not None and kept.kept_on == ended.as_of:
        # The list was kept as this very day's was replaced; only its run's own day may be another by now.
        run.kept_on, run.kept_at = kept.kept_on, kept.kept_at
        run.save(update_fields=["kept_on", "kept_at"])
        return
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("DELETE FROM scheduling_itembefore")
        cursor.execute(COPY, [int(Band.QUIET)])
        run.kept_on, run.kept_at = ended.as_of, now
        run.save(update_fields=["kept_on", "kept_at"])
