"""Own spreadsheets on their way in: the work so far, and what is kept of it for the next copy."""

from __future__ import annotations

import uuid

from django.db import models

from .loads import Load


class OwnWorkbook(models.Model):
    """A spreadsheet of an operator's own, with what was said of it so far.

    Nothing of it is on record until a load made of it is taken. ``said`` is read by
    :func:`fleet.own_sheets.said.said_of`; ``mapping`` is the name under which it is known.
    """

    key = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    name = models.CharField(max_length=200)
    digest = models.CharField(max_length=64)
    size = models.BigIntegerField()
    path = models.CharField(max_length=255, help_text="Relative to the data folder.")
    said = models.JSONField(default=dict, blank=True)
    mapping = models.CharField(max_length=80, blank=True)
    brought_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")
    brought_at = models.DateTimeField()
    changed_at = models.DateTimeField()
    load = models.ForeignKey(
        Load, null=True, blank=True, on_delete=models.SET_NULL, related_name="own_workbooks"
    )

    # A large one is read by the job: whether it is asked for, how far it is, and what stopped it.
    is_reading_asked = models.BooleanField(default=False, db_default=False)
    reading_share = models.SmallIntegerField(default=0, db_default=0, help_text="In percent.")
    reading_words = models.CharField(max_length=120, blank=True, default="", db_default="")
    reading_fault = models.TextField(blank=True, default="", db_default="")

    def __str__(self) -> str:
        return self.name


class OwnMapping(models.Model):
    """What the columns and words of a spreadsheet mean, kept by name for its next copy.

    ``headings`` are those it was made of, by which a copy is recognised.
    """

    name = models.CharField(max_length=80, unique=True)
    said = models.JSONField(default=dict, blank=True)
    headings = models.JSONField(default=list, blank=True)
    kept_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")
    kept_at = models.DateTimeField()

    def __str__(self) -> str:
        return self.name
