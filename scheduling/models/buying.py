"""What is bought: the operator's figures of a part number, what was asked for, and how far it has come."""

from __future__ import annotations

from django.db import models
from django.db.models import Q


class PartStock(models.Model):
    """The operator's figures of buying a part number: brought by a sheet. What is not known is blank."""

    part_number = models.OneToOneField(
        "equipment.PartNumber", on_delete=models.PROTECT, related_name="+"
    )
    least = models.PositiveIntegerField(
        null=True, blank=True, help_text="Never fewer than these are owned."
    )
    lead_days = models.PositiveSmallIntegerField(
        null=True, blank=True, help_text="From an order to its receipt."
    )
    price = models.DecimalField(max_digits=12, decimal_places=2, null=True, blank=True)
    currency = models.CharField(max_length=3, blank=True)
    document = models.CharField(max_length=80, blank=True)


class PurchaseRequest(models.Model):
    """Somebody asked to buy so many of a part number, for a reason. Insert-only; its latest step says how far it is."""

    act_id = models.UUIDField(unique=True)
    part_number = models.ForeignKey(
        "equipment.PartNumber", on_delete=models.PROTECT, related_name="+"
    )
    quantity = models.PositiveIntegerField()
    why = models.CharField(max_length=300)
    needed_by = models.DateField(null=True, blank=True)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(quantity__gte=1), name="something_is_asked_for"),
        ]


class PurchaseStep(models.Model):
    """A request was ordered, is expected on a day, was received, or is given up. Insert-only; the latest counts."""

    ORDERED, EXPECTED, RECEIVED, GIVEN_UP = "ordered", "expected", "received", "given_up"
    SORTS = (
        (ORDERED, "ordered"),
        (EXPECTED, "expected"),
        (RECEIVED, "received"),
        (GIVEN_UP, "given up"),
    )
    request = models.ForeignKey(PurchaseRequest, on_delete=models.PROTECT, related_name="steps")
    act_id = models.UUIDField(unique=True)
    sort = models.CharField(max_length=8, choices=SORTS)
    supplier = models.CharField(max_length=80, blank=True)
    order_number = models.CharField(max_length=40, blank=True)
    expected_on = models.DateField(null=True, blank=True)
    quantity = models.PositiveIntegerField(help_text="How many it is about.")
    price = models.DecimalField(
        max_digits=12, decimal_places=2, null=True, blank=True, help_text="Of one."
    )
    currency = models.CharField(max_length=3, blank=True)
    words = models.CharField(max_length=200, blank=True)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=~Q(sort="expected") | Q(expected_on__isnull=False),
                name="what_is_expected_has_a_day",
            ),
        ]
