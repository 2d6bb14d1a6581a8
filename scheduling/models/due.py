from __future__ import annotations

from django.db import models


class DueItem(models.Model):
    """Computed: one subject under one limit, reckoned as of a day. Never typed, always rebuildable.

    The three stamps are those of the facts it was reckoned from; an item whose stamps differ from
    the current ones is stale and shown so. ``band_rank`` then ``sort_on`` is the order of urgency.
    """

    limit = models.ForeignKey(
        "scheduling.Limit", on_delete=models.CASCADE, related_name="+", db_index=False
    )
    unit = models.ForeignKey(
        "equipment.Unit",
        null=True,
        on_delete=models.CASCADE,
        related_name="due_items",
        db_index=False,
    )
    position = models.ForeignKey(
        "fleet.AircraftPosition",
        null=True,
        on_delete=models.CASCADE,
        related_name="+",
        db_index=False,
    )
    aircraft = models.ForeignKey(
        "fleet.Aircraft",
        null=True,
        on_delete=models.CASCADE,
        related_name="due_items",
        db_index=False,
    )
    line_unit = models.ForeignKey(
        "equipment.Unit",
        null=True,
        on_delete=models.CASCADE,
        related_name="+",
        db_index=False,
    )
    # what it is filtered by
    station = models.ForeignKey(
        "fleet.Station",
        null=True,
        on_delete=models.CASCADE,
        related_name="+",
        db_index=False,
    )
    kind = models.ForeignKey(
        "fleet.Kind",
        null=True,
        on_delete=models.CASCADE,
        related_name="+",
        db_index=False,
    )
    part_number = models.ForeignKey(
        "equipment.PartNumber",
        null=True,
        on_delete=models.CASCADE,
        related_name="+",
        db_index=False,
    )
    work = models.ForeignKey(
        "scheduling.Work", on_delete=models.CASCADE, related_name="+", db_index=False
    )
    # the answer
    as_of = models.DateField()
    band = models.SmallIntegerField()
    sort_on = models.DateField(
        help_text="The due or worst date; far future where there is none."
    )
    due_on = models.DateField(null=True)
    due_on_projected = models.BooleanField(default=False)
    due_at_minutes = models.BigIntegerField(null=True)
    due_at_cycles = models.BigIntegerField(null=True)
    due_at_other = models.BigIntegerField(null=True)
    left_days = models.IntegerField(null=True)
    left_minutes = models.BigIntegerField(null=True)
    left_cycles = models.BigIntegerField(null=True)
    start_on = models.DateField(null=True)
    decided_by = models.SmallIntegerField(
        null=True, help_text="The seq of the clock that won."
    )
    missing = models.IntegerField(
        default=0, help_text="A set of missing facts, see scheduling.engine."
    )
    worst_on = models.DateField(null=True)
    flags = models.SmallIntegerField(
        default=0, help_text="Within variation, extended, may not refill..."
    )
    check_planned = models.ForeignKey(
        "fleet.Check",
        null=True,
        on_delete=models.SET_NULL,
        related_name="+",
        db_index=False,
    )
    unit_stamp = models.BigIntegerField(default=0)
    aircraft_stamp = models.BigIntegerField(default=0)
    programme_stamp = models.BigIntegerField(default=0)


class RecomputeRun(models.Model):
    """One bulk reckoning: a row first, so that a killed job is finished by the next one."""

    as_of = models.DateField()
    why = models.CharField(max_length=80)
    asked_at = models.DateTimeField()
    started_at = models.DateTimeField(null=True, blank=True)
    finished_at = models.DateTimeField(null=True, blank=True)
    next_unit_id = models.BigIntegerField(
        default=0, help_text="Chunks below this are done."
    )
    items = models.BigIntegerField(default=0)
    fault = models.TextField(blank=True)
