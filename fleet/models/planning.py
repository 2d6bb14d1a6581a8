from __future__ import annotations

from datetime import date

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
    slot = models.CharField(max_length=16, blank=True, help_text="The hangar slot; empty: none.")
    people = models.PositiveSmallIntegerField(
        default=0, help_text="How many people it needs on each of its days; 0: nobody has said."
    )
    is_cancelled = models.BooleanField(default=False)
    closed_on = models.DateField(
        null=True, help_text="The day on which its package was closed: from then on it is over."
    )

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
        # That two ground times are in no slot at once is held in a migration: a_hangar_slot_holds_one_check.
        indexes = [models.Index(fields=["aircraft", "starts_on"], name="check_by_start")]

    def __str__(self) -> str:
        return f"{self.name} {self.starts_on:%Y-%m-%d}"

    @property
    def last_on(self) -> date:
        """Its last day; of one that was closed before, the day on which it was."""
        return min(self.ends_on, self.closed_on or self.ends_on)


class CheckRecord(models.Model):
    """How a check was planned from a moment on, and by whom. Insert-only; the check itself is as the latest says."""

    check_planned = models.ForeignKey(Check, on_delete=models.PROTECT, related_name="records")
    aircraft = models.ForeignKey("fleet.Aircraft", on_delete=models.PROTECT, related_name="+")
    name = models.CharField(max_length=40)
    starts_on = models.DateField()
    ends_on = models.DateField()
    station = models.ForeignKey("fleet.Station", on_delete=models.PROTECT, related_name="+")
    slot = models.CharField(max_length=16, blank=True)
    is_cancelled = models.BooleanField(default=False)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")

    class Meta:
        indexes = [
            models.Index(fields=["check_planned", "recorded_at"], name="record_of_check_by_time"),
            models.Index(fields=["aircraft", "recorded_at"], name="check_record_of_aircraft"),
        ]
