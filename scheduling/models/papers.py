from __future__ import annotations

from django.db import models
from django.db.models import Q


class PaperAsked(models.Model):
    """A list on paper that is too long to wait for: asked for first, made by the job, kept for two days.

    ``query`` is the list as its page was asked for it. ``rows`` are read so far, of ``rows_in_all`` once that is
    known; ``tries`` counts how often making it began.
    """

    act_id = models.UUIDField(unique=True)
    what = models.CharField(max_length=24)
    query = models.CharField(max_length=2000, blank=True)
    address = models.CharField(max_length=2200)
    as_of = models.DateField()
    asked_at = models.DateTimeField()
    asked_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")
    tries = models.PositiveSmallIntegerField(default=0)
    rows = models.PositiveIntegerField(default=0)
    rows_in_all = models.PositiveIntegerField(null=True)
    pages = models.PositiveIntegerField(null=True)
    content = models.BinaryField(null=True)
    fault = models.CharField(max_length=200, blank=True)
    finished_at = models.DateTimeField(null=True)

    class Meta:
        indexes = [
            models.Index(fields=["id"], condition=Q(finished_at=None), name="paper_to_be_made")
        ]
