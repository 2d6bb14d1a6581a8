from __future__ import annotations

from django.db import models


class DayCounted(models.Model):
    """How many due items stood in the loud bands on a day's list. Insert-only.

    ``is_later``: reckoned on a later day, from what was recorded by then; else counted as the day's list was made.
    """

    day = models.DateField(unique=True)
    items = models.PositiveIntegerField()
    overdue = models.PositiveIntegerField(help_text="On aircraft, past their limit.")
    unserviceable = models.PositiveIntegerField()
    no_basis = models.PositiveIntegerField()
    out_of_phase = models.PositiveIntegerField()
    is_later = models.BooleanField(default=False)
    counted_at = models.DateTimeField()


class WorkJudged(models.Model):
    """How early a work was done: until when the life would have lasted that it ended. Insert-only.

    Reckoned as of the day before the work. ``due_on`` is null where the facts of then give no day.
    """

    work_done = models.OneToOneField(
        "scheduling.WorkDone", on_delete=models.PROTECT, related_name="judged"
    )
    due_on = models.DateField(null=True)
    judged_at = models.DateTimeField()
