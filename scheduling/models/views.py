from __future__ import annotations

from django.db import models
from django.db.models import Q
from django.db.models.functions import Lower


class DueView(models.Model):
    """The due list narrowed, ordered and with its columns, under a name: one person's, or everybody's.

    ``query`` is what stands behind the list's address; ``is_shared``: everybody is shown it.
    """

    name = models.CharField(max_length=40)
    query = models.CharField(max_length=500, blank=True)
    is_shared = models.BooleanField(default=False)
    act_id = models.UUIDField(unique=True)
    kept_at = models.DateTimeField()
    kept_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")
    ended_at = models.DateTimeField(null=True)
    ended_by = models.ForeignKey(
        "fleet.User", null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(
                Lower("name"),
                "kept_by",
                condition=Q(ended_at=None),
                name="one_view_of_a_name_for_each_person",
            ),
            models.CheckConstraint(
                condition=Q(ended_at=None, ended_by=None)
                | Q(ended_at__isnull=False, ended_by__isnull=False),
                name="a_view_that_ended_says_by_whom",
            ),
        ]

    def __str__(self) -> str:
        return self.name
