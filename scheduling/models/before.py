"""The due list as it stood when the next day's took its place: what a morning is compared with."""

from __future__ import annotations

from django.db import models


class ItemBefore(models.Model):
    """A due item of the list that was replaced by another day's, as it stood then, with the columns of :class:`DueItem`.

    A copy: its keys lead nowhere by themselves, since what they named may be gone. It is written whole
    when a day's list is begun (``RecomputeRun.kept_on``) and holds until the next is. ``check_starts_on``
    is the day of its check as it was planned then.
    """

    id = models.BigIntegerField(primary_key=True)
    limit_id = models.BigIntegerField()
    unit_id = models.BigIntegerField(null=True)
    position_id = models.BigIntegerField(null=True)
    aircraft_id = models.BigIntegerField(null=True)
    line_unit_id = models.BigIntegerField(null=True)
    station_id = models.BigIntegerField(null=True)
    kind_id = models.BigIntegerField(null=True)
    part_number_id = models.BigIntegerField(null=True)
    work_id = models.BigIntegerField()
    as_of = models.DateField()
    band = models.SmallIntegerField()
    sort_on = models.DateField()
    due_on = models.DateField(null=True)
    until_on = models.DateField(null=True)
    due_on_projected = models.BooleanField(default=False)
    due_at_minutes = models.BigIntegerField(null=True)
    due_at_cycles = models.BigIntegerField(null=True)
    due_at_other = models.BigIntegerField(null=True)
    left_minutes = models.BigIntegerField(null=True)
    left_cycles = models.BigIntegerField(null=True)
    left_other = models.BigIntegerField(null=True)
    start_on = models.DateField(null=True)
    decided_by = models.SmallIntegerField(null=True)
    missing = models.IntegerField(default=0)
    worst_on = models.DateField(null=True)
    flags = models.SmallIntegerField(default=0)
    check_planned_id = models.BigIntegerField(null=True)
    check_starts_on = models.DateField(null=True)
    rule_from_on = models.DateField(null=True)
    unit_stamp = models.BigIntegerField(default=0)
    aircraft_stamp = models.BigIntegerField(default=0)
    programme_stamp = models.BigIntegerField(default=0)

    def __str__(self) -> str:
        return f"due item {self.pk} before"
