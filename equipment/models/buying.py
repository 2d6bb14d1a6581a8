from __future__ import annotations

from django.contrib.postgres.fields import ArrayField
from django.db import models
from django.db.models import Q


class PurchaseRequest(models.Model):
    """So many of a part are asked for, and why. Insert-only."""

    act_id = models.UUIDField(unique=True)
    part_number = models.ForeignKey(
        "equipment.PartNumber", on_delete=models.PROTECT, related_name="purchase_requests"
    )
    quantity = models.PositiveIntegerField()
    station = models.ForeignKey(
        "fleet.Station", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    wanted_on = models.DateField(null=True, blank=True)
    why = models.CharField(max_length=300)
    requested_at = models.DateTimeField()
    requested_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(quantity__gte=1), name="one_piece_at_least_is_requested"
            ),
        ]


class PurchaseStep(models.Model):
    """What became of a request: ordered, expected, received in parts or whole, or withdrawn. Insert-only."""

    ORDERED, EXPECTED, RECEIVED, WITHDRAWN = "ordered", "expected", "received", "withdrawn"
    SORTS = (
        (ORDERED, "ordered"),
        (EXPECTED, "expected"),
        (RECEIVED, "received"),
        (WITHDRAWN, "withdrawn"),
    )
    request = models.ForeignKey(PurchaseRequest, on_delete=models.PROTECT, related_name="steps")
    act_id = models.UUIDField(unique=True)
    sort = models.CharField(max_length=9, choices=SORTS)
    supplier = models.CharField(max_length=80, blank=True)
    order_number = models.CharField(max_length=40, blank=True)
    expected_on = models.DateField(null=True, blank=True)
    quantity = models.PositiveIntegerField(default=0)
    words = models.CharField(max_length=200, blank=True)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")


class BinUse(models.Model):
    """Which kinds a bin of a station may hold; none: any. Insert-only; the latest of a bin counts."""

    act_id = models.UUIDField(unique=True)
    station = models.ForeignKey("fleet.Station", on_delete=models.PROTECT, related_name="+")
    name = models.CharField(max_length=80)
    kinds = ArrayField(models.CharField(max_length=24), default=list)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")
