from __future__ import annotations

from django.db import models
from django.db.models import Q


class Draft(models.Model):
    """Several changes kept together under a name, none of them done: to be compared, taken or thrown away."""

    TAKEN, THROWN_AWAY = "taken", "thrown_away"
    ENDS = ((TAKEN, "taken"), (THROWN_AWAY, "thrown away"))
    name = models.CharField(max_length=60)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")
    ended_how = models.CharField(max_length=12, choices=ENDS, blank=True)
    ended_at = models.DateTimeField(null=True)
    ended_by = models.ForeignKey(
        "fleet.User", null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["name"],
                condition=Q(ended_at=None),
                name="one_open_draft_of_a_name",
            ),
            models.CheckConstraint(
                condition=Q(ended_at=None, ended_by=None, ended_how="")
                | Q(ended_at__isnull=False, ended_by__isnull=False, ended_how__gt=""),
                name="a_draft_that_ended_says_by_whom_and_how",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class DraftChange(models.Model):
    """One change of a draft: which act, and what was said to it, in their order. Kept as it was said; only that
    it was taken out again is noted. ``reach`` says which due items it may move."""

    draft = models.ForeignKey(Draft, on_delete=models.PROTECT, related_name="changes")
    act_id = models.UUIDField(unique=True)
    act = models.CharField(max_length=60)
    said = models.JSONField()
    reach = models.JSONField()
    words = models.CharField(max_length=300)
    kept_at = models.DateTimeField()
    kept_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")
    taken_out_at = models.DateTimeField(null=True)
    taken_out_by = models.ForeignKey(
        "fleet.User", null=True, on_delete=models.PROTECT, related_name="+"
    )
