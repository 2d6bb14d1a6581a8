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
    sort = models.CharField(
        max_length=12, blank=True, default="", db_default="", help_text="Of what it tells."
    )
    about = models.CharField(
        max_length=120, blank=True, default="", db_default="", help_text="Told to several: of what."
    )
    is_shown = models.BooleanField(
        default=True, db_default=True, help_text="Here, not only by mail: as its person chose."
    )

    class Meta:
        indexes = [
            models.Index(fields=["to", "read_at", "at"], name="notice_of_person_by_time"),
            models.Index(fields=["about"], condition=~models.Q(about=""), name="notice_by_what"),
        ]

    def __str__(self) -> str:
        return self.words
