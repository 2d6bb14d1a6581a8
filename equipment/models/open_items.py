from __future__ import annotations

from datetime import date

from django.db import models
from django.db.models import F, Q


class OpenItemQuerySet(models.QuerySet["OpenItem"]):
    """Open items by the day on which they are open."""

    def open_on(self, day: date) -> OpenItemQuerySet:
        """Found (or recorded) by that day, and not closed by then. An extension counts from the day on
        which it closed the item that it extends."""
        begun = Q(found_on__lte=day) | Q(recorded_at__date__lte=day)
        found = self.filter(begun).exclude(closed__closed_on__lte=day)
        return found.exclude(extends__closed__closed_on__gt=day)


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
    repeat_days = models.PositiveIntegerField(
        null=True, blank=True, help_text="Within how many days the action is done again."
    )
    repeat_hours = models.PositiveIntegerField(
        null=True, blank=True, help_text="Within how many flight hours the action is done again."
    )
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

    objects = OpenItemQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(expires_on__gte=F("found_on")), name="an_open_item_lasts_at_least_a_day"
            ),
            models.CheckConstraint(
                condition=Q(extends__isnull=True) | ~Q(approval=""),
                name="an_extension_of_an_open_item_is_approved",
            ),
            models.CheckConstraint(
                condition=Q(repeat_days__isnull=True, repeat_hours__isnull=True)
                | ~Q(repeat_actions=""),
                name="what_is_repeated_is_said",
            ),
            models.CheckConstraint(
                condition=(Q(repeat_days__isnull=True) | Q(repeat_days__gte=1))
                & (Q(repeat_hours__isnull=True) | Q(repeat_hours__gte=1)),
                name="a_repeat_action_has_an_interval",
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


class RepeatActionDone(models.Model):
    """What is repeated while an item is open was done: when, by whom, under which document. Insert-only."""

    act_id = models.UUIDField(unique=True)
    open_item = models.ForeignKey(OpenItem, on_delete=models.PROTECT, related_name="actions")
    done_on = models.DateField()
    who = models.CharField(max_length=80)
    authorisation = models.CharField(max_length=40)
    document = models.CharField(max_length=80)
    words = models.CharField(max_length=200, blank=True, help_text="What was found.")
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")
