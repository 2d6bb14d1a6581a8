from __future__ import annotations

from django.db import models
from django.db.models import F, Q


class OpenItem(models.Model):
    """A position open or a defect deferred: by which document, until when. Insert-only."""

    act_id = models.UUIDField(unique=True)
    aircraft = models.ForeignKey(
        "fleet.Aircraft", on_delete=models.PROTECT, related_name="open_items"
    )
    place = models.ForeignKey(
        "equipment.Place", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    swap = models.ForeignKey(
        "equipment.Swap", null=True, blank=True, on_delete=models.PROTECT, related_name="open_items"
    )
    document = models.CharField(max_length=80, help_text="Item and revision of the list used.")
    category = models.CharField(max_length=8, blank=True)
    words = models.CharField(max_length=200)
    found_on = models.DateField()
    expires_on = models.DateField(help_text="The last day on which it may stay open.")
    repeat_actions = models.CharField(max_length=200, blank=True)
    effect = models.CharField(
        max_length=200, blank=True, help_text="Seats blocked, passenger limit."
    )
    extends = models.OneToOneField(
        "self",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="extended_by",
        help_text="The item that this one extends, which it closed.",
    )
    approval = models.CharField(
        max_length=80, blank=True, help_text="By what and whom the extension was approved."
    )
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(expires_on__gte=F("found_on")), name="an_open_item_lasts_at_least_a_day"
            ),
            models.CheckConstraint(
                condition=Q(extends__isnull=True) | ~Q(approval=""),
                name="an_extension_of_an_open_item_is_approved",
            ),
        ]


class OpenItemClosed(models.Model):
    """An open item was closed, by which work. Insert-only."""

    open_item = models.OneToOneField(OpenItem, on_delete=models.PROTECT, related_name="closed")
    act_id = models.UUIDField(unique=True)
    swap = models.ForeignKey(
        "equipment.Swap", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    words = models.CharField(max_length=200)
    closed_on = models.DateField()
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")
