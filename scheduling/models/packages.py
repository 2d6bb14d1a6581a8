from __future__ import annotations

from django.db import models
from django.db.models import Q


class PackageHandover(models.Model):
    """The package of a check was handed to somebody of the hangar by name. Insert-only: what is placed at the
    check afterwards is handed over anew, and adds its items."""

    act_id = models.UUIDField(unique=True)
    check_planned = models.ForeignKey(
        "fleet.Check", on_delete=models.PROTECT, related_name="package_handovers"
    )
    to = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")
    note = models.CharField(max_length=200, blank=True)
    handed_on = models.DateField(help_text="The operator's day of the plan that it was taken from.")
    handed_at = models.DateTimeField()
    handed_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")


class PackageItem(models.Model):
    """One job of a package as it was handed over. Insert-only; its state follows from what is recorded.

    ``works`` are the works of the job: each with its limit, document, subject and the codes of the works
    that restart it. ``place`` is where its swap begins, or its work in place.
    """

    handover = models.ForeignKey(PackageHandover, on_delete=models.PROTECT, related_name="items")
    check_planned = models.ForeignKey(
        "fleet.Check", on_delete=models.PROTECT, related_name="package_items"
    )
    number = models.PositiveSmallIntegerField()
    due_item = models.BigIntegerField()
    zone = models.CharField(max_length=16, blank=True)
    access = models.CharField(max_length=24, blank=True)
    words = models.CharField(max_length=300)
    place = models.ForeignKey(
        "equipment.Place", null=True, on_delete=models.PROTECT, related_name="+"
    )
    unit_off = models.ForeignKey(
        "equipment.Unit",
        null=True,
        on_delete=models.PROTECT,
        related_name="+",
        help_text="The unit that comes off; empty: it is done in place.",
    )
    works = models.JSONField(default=list)
    last_on = models.DateField(null=True, help_text="The last day, as it stood then.")

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["check_planned", "number"], name="one_item_of_a_package_by_number"
            ),
            models.UniqueConstraint(
                fields=["check_planned", "due_item"], name="one_item_of_a_package_for_a_due_item"
            ),
        ]

    @property
    def is_on_aircraft(self) -> bool:
        """Whether its works are the aircraft's own: they begin at no position, and are recorded from the item."""
        return bool(self.works) and all(work["subject"][0] == "aircraft" for work in self.works)


class CarriedForward(models.Model):
    """An item of a package was not done at its check: by whose approval, why, and until which check. Insert-only."""

    act_id = models.UUIDField(unique=True)
    item = models.OneToOneField(PackageItem, on_delete=models.PROTECT, related_name="carried")
    to_check = models.ForeignKey(
        "fleet.Check", null=True, on_delete=models.PROTECT, related_name="+"
    )
    reason = models.CharField(max_length=200)
    approval = models.CharField(max_length=80)
    approved_by = models.CharField(max_length=80)
    due_on = models.DateField(null=True, help_text="Its last day then.")
    carried_at = models.DateTimeField()
    carried_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=~Q(reason="") & ~Q(approval="") & ~Q(approved_by=""),
                name="what_is_carried_forward_is_approved_and_says_why",
            ),
        ]


class CheckClosed(models.Model):
    """A check was closed: ``content`` is each item and finding as it stood then, in words. Insert-only."""

    act_id = models.UUIDField(unique=True)
    check_planned = models.OneToOneField(
        "fleet.Check", on_delete=models.PROTECT, related_name="closed"
    )
    words = models.CharField(max_length=200, blank=True)
    content = models.JSONField()
    closed_on = models.DateField()
    closed_at = models.DateTimeField()
    closed_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")


class CheckReleased(models.Model):
    """An aircraft was released after a check: who signed what, under which authorisation. Insert-only.

    ``content`` is what it rests on, ``digest`` its SHA-256, by which a later change is told.
    """

    act_id = models.UUIDField(unique=True)
    closed = models.OneToOneField(CheckClosed, on_delete=models.PROTECT, related_name="release")
    rule_set = models.ForeignKey("equipment.RuleSet", on_delete=models.PROTECT, related_name="+")
    by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")
    name = models.CharField(max_length=120)
    statement = models.CharField(max_length=600)
    authorisation = models.ForeignKey(
        "fleet.Authorisation", on_delete=models.PROTECT, related_name="+"
    )
    authorisation_words = models.CharField(max_length=200)
    content = models.JSONField()
    digest = models.CharField(max_length=64)
    signed_at = models.DateTimeField()
