from __future__ import annotations

import uuid

from django.db import models

from fleet.house.desks import ROLES


class Load(models.Model):
    """One bringing-in of sheets: what was read, what was found, what was applied. A row first:
    the job that works it drains rows and may be killed at any point."""

    WAITING, READING, READ, APPLYING, APPLIED, REFUSED, UNREADABLE, FAILED = (
        "waiting",
        "reading",
        "read",
        "applying",
        "applied",
        "refused",
        "unreadable",
        "failed",
    )
    STATES = (
        (WAITING, "waiting to be read"),
        (READING, "being read"),
        (READ, "read, waiting for your decision"),
        (APPLYING, "being applied"),
        (APPLIED, "applied"),
        (REFUSED, "refused, nothing applied"),
        (UNREADABLE, "could not be read, nothing to decide"),
        (FAILED, "stopped by a fault, nothing applied"),
    )
    ALL_OR_NOTHING, GOOD_LINES = "all_or_nothing", "good_lines"
    MODES = ((ALL_OR_NOTHING, "all or nothing"), (GOOD_LINES, "the good lines"))

    key = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    state = models.CharField(max_length=10, choices=STATES, default=WAITING)
    mode = models.CharField(max_length=16, choices=MODES, blank=True)
    dates = models.CharField(
        max_length=10,
        blank=True,
        help_text="How slashed dates are read: day-first or blank.",
    )
    brought_by = models.ForeignKey(
        "fleet.User", null=True, on_delete=models.PROTECT, related_name="+"
    )
    brought_as = models.CharField(
        max_length=20,
        blank=True,
        choices=ROLES,
        help_text="The one role of the token that it came by; blank: all that its person holds.",
    )
    token = models.ForeignKey(
        "fleet.ApiToken", null=True, on_delete=models.PROTECT, related_name="+"
    )
    brought_at = models.DateTimeField()
    applied_at = models.DateTimeField(null=True, blank=True)
    tries = models.PositiveSmallIntegerField(
        default=0, help_text="How often it was begun since a person last asked for it."
    )
    progress_done = models.PositiveIntegerField(default=0)
    progress_total = models.PositiveIntegerField(default=0)
    progress_words = models.CharField(max_length=120, blank=True)
    accepted = models.PositiveIntegerField(default=0)
    refused = models.PositiveIntegerField(default=0)
    known = models.PositiveIntegerField(default=0)
    fault = models.TextField(blank=True)
    summary = models.JSONField(
        default=list, blank=True, help_text="Per sheet: name, accepted, refused, known."
    )
    own_said = models.JSONField(
        null=True,
        blank=True,
        help_text="What an own spreadsheet's columns and words mean; null: sheets of the template.",
    )
    beside = models.JSONField(
        default=dict,
        blank=True,
        help_text="An own spreadsheet's next dates beside the reckoned ones.",
    )

    @property
    def own_workbook(self) -> models.Model | None:
        """The own spreadsheet that it was made of, while its work so far is kept."""
        found: models.Model | None = self.own_workbooks.first()
        return found


class LoadFile(models.Model):
    """A file as it was brought, kept outside the database by its digest."""

    load = models.ForeignKey(Load, on_delete=models.PROTECT, related_name="files")
    name = models.CharField(max_length=200)
    digest = models.CharField(max_length=64)
    size = models.BigIntegerField()
    path = models.CharField(max_length=255, help_text="Relative to the data folder.")


class LoadLine(models.Model):
    """A line that was refused or warned of, as brought, with why, which cell and what would do."""

    load = models.ForeignKey(Load, on_delete=models.CASCADE, related_name="lines")
    file = models.ForeignKey(LoadFile, null=True, on_delete=models.CASCADE, related_name="+")
    sheet = models.CharField(max_length=80)
    row = models.PositiveIntegerField()
    outcome = models.CharField(
        max_length=10, choices=(("refused", "refused"), ("warning", "warning"))
    )
    cell = models.CharField(max_length=12, blank=True)
    code = models.CharField(max_length=60)
    message = models.TextField()
    values = models.JSONField(default=dict)

    class Meta:
        indexes = [models.Index(fields=["load", "sheet", "row"], name="load_line_order")]
