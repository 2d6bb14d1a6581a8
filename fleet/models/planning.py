from __future__ import annotations

from django.db import models
from django.db.models import F, Q


class Check(models.Model):
    """A planned ground time of one aircraft, a check or an overnight stop with what can be done there."""

    CHECK, OVERNIGHT = "check", "overnight"
    SORTS = ((CHECK, "check"), (OVERNIGHT, "overnight stop"))

    aircraft = models.ForeignKey("fleet.Aircraft", on_delete=models.PROTECT, related_name="checks")
    name = models.CharField(max_length=40)
    sort = models.CharField(max_length=10, choices=SORTS, default=CHECK)
    starts_on = models.DateField()
    ends_on = models.DateField()
    station = models.ForeignKey("fleet.Station", on_delete=models.PROTECT, related_name="+")
    abilities = models.JSONField(
        default=list, blank=True, help_text="Codes of works possible there; empty: all."
    )
    is_cancelled = models.BooleanField(default=False)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(ends_on__gte=F("starts_on")),
                name="a_check_ends_after_it_starts",
            ),
            models.UniqueConstraint(
                fields=["aircraft", "name", "starts_on"],
                name="one_check_of_this_name_and_start",
            ),
        ]
        indexes = [models.Index(fields=["aircraft", "starts_on"], name="check_by_start")]

    def __str__(self) -> str:
        return f"{self.name} {self.starts_on:%Y-%m-%d}"


class CheckRecord(models.Model):
    """How a check was planned from a moment on, and by whom. Insert-only; the check itself is as the latest says."""

    check_planned = models.ForeignKey(Check, on_delete=models.PROTECT, related_name="records")
    aircraft = models.ForeignKey("fleet.Aircraft", on_delete=models.PROTECT, related_name="+")
    name = models.CharField(max_length=40)
    starts_on = models.DateField()
    ends_on = models.DateField()
    station = models.ForeignKey("fleet.Station", on_delete=models.PROTECT, related_name="+")
    is_cancelled = models.BooleanField(default=False)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")

    class Meta:
        indexes = [
            models.Index(fields=["check_planned", "recorded_at"], name="record_of_check_by_time"),
            models.Index(fields=["aircraft", "recorded_at"], name="check_record_of_aircraft"),
        ]
