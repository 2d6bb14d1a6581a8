from __future__ import annotations

from django.conf import settings
from django.db import models


class Notice(models.Model):
    """Something that a person must hear of: what they decided no longer holds. Read once, then kept."""

    to = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="notices"
    )
    words = models.CharField(max_length=300)
    link = models.CharField(max_length=200, blank=True, help_text="An address of this site.")
    at = models.DateTimeField()
    read_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        indexes = [models.Index(fields=["to", "read_at", "at"], name="notice_of_person_by_time")]

    def __str__(self) -> str:
        return self.words
