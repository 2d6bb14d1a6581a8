"""Stock counted by scan, units scrapped from the shelf, and transfers from station to station."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q


class StockTake(models.Model):
    """A store, or one bin of it, is counted by scan, until it has ended. ``bin_name`` blank: all of it."""

    STORES = (("store", "the store"), ("quarantine", "the quarantine"))
    act_id = models.UUIDField(unique=True)
    station = models.ForeignKey("fleet.Station", on_delete=models.PROTECT, related_name="+")
    store = models.CharField(max_length=10, choices=STORES, default="store")
    bin_name = models.CharField(max_length=80, blank=True)
    begun_at = models.DateTimeField()
    begun_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")
    ended_at = models.DateTimeField(null=True, blank=True)
    ended_by = models.ForeignKey(
        "fleet.User", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    ended_words = models.CharField(max_length=300, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["station", "store", "bin_name"],
                condition=Q(ended_at__isnull=True),
                name="one_stock_take_of_a_bin_at_a_time",
            ),
        ]


class StockTakeScan(models.Model):
    """One line of a stock-take: what was scanned, the unit it means (none: unknown), how many of a lot.
    Insert-only; the latest of a unit counts."""

    stock_take = models.ForeignKey(StockTake, on_delete=models.PROTECT, related_name="scans")
    act_id = models.UUIDField(unique=True)
    code = models.CharField(max_length=200)
    unit = models.ForeignKey(
        "equipment.Unit", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    bin_name = models.CharField(max_length=80, blank=True)
    quantity = models.PositiveIntegerField(null=True, blank=True)
    scanned_at = models.DateTimeField()
    scanned_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")


class StockTakeSettlement(models.Model):
    """How one difference of a stock-take was settled: of a unit, or of a scan that means none. Insert-only."""

    HOW = (
        ("lost", "it is lost"),
        ("bin", "it lies in the bin where it was scanned"),
        ("here", "it is here: into quarantine"),
        ("quantity", "so many are here as were counted"),
        ("controller", "shown to the controller, who finds out"),
        ("explained", "explained in words"),
    )
    stock_take = models.ForeignKey(StockTake, on_delete=models.PROTECT, related_name="settlements")
    act_id = models.UUIDField(unique=True)
    how = models.CharField(max_length=10, choices=HOW)
    unit = models.ForeignKey(
        "equipment.Unit", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    scan = models.ForeignKey(
        StockTakeScan, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    movement = models.ForeignKey(
        "equipment.Movement", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    words = models.CharField(max_length=200, blank=True)
    settled_at = models.DateTimeField()
    settled_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(unit__isnull=False) | Q(scan__isnull=False),
                name="a_settlement_names_what_it_settles",
            ),
        ]


class Scrapping(models.Model):
    """A unit was made unusable and scrapped: how, who saw it, its final record. Insert-only."""

    MUTILATIONS = (
        ("cut", "cut through"),
        ("crushed", "crushed"),
        ("drilled", "drilled through"),
        ("ground", "ground off, with its marks"),
        ("other", "made unusable otherwise"),
    )
    act_id = models.UUIDField(unique=True)
    unit = models.ForeignKey("equipment.Unit", on_delete=models.PROTECT, related_name="scrappings")
    movement = models.OneToOneField(
        "equipment.Movement", on_delete=models.PROTECT, related_name="+"
    )
    tag = models.OneToOneField("equipment.UnitTag", on_delete=models.PROTECT, related_name="+")
    why = models.CharField(max_length=200)
    mutilation = models.CharField(max_length=10, choices=MUTILATIONS)
    witness = models.CharField(max_length=120)
    final_record = models.CharField(max_length=300)
    total_minutes = models.BigIntegerField(null=True, blank=True)
    total_cycles = models.BigIntegerField(null=True, blank=True)
    document = models.CharField(max_length=80, blank=True)
    scrapped_on = models.DateField()
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")


class DangerousGoods(models.Model):
    """What the papers of a shipment say of a part number: the operator's data."""

    part_number = models.OneToOneField(
        "equipment.PartNumber", on_delete=models.PROTECT, related_name="shipped_as"
    )
    un_number = models.CharField(max_length=8)
    hazard_class = models.CharField(max_length=8)
    quantity = models.CharField(max_length=40)
    packing = models.CharField(max_length=120)
    document = models.CharField(max_length=80, blank=True)


class Transfer(models.Model):
    """A unit is sent from one station to another, with the particulars of its papers as they were then.
    Insert-only; it is in transit until its receipt."""

    act_id = models.UUIDField(unique=True)
    unit = models.ForeignKey("equipment.Unit", on_delete=models.PROTECT, related_name="transfers")
    movement = models.OneToOneField(
        "equipment.Movement", on_delete=models.PROTECT, related_name="+"
    )
    origin = models.ForeignKey("fleet.Station", on_delete=models.PROTECT, related_name="+")
    station = models.ForeignKey("fleet.Station", on_delete=models.PROTECT, related_name="+")
    left = models.CharField(max_length=10, choices=StockTake.STORES)
    waybill = models.CharField(max_length=40)
    particulars = models.JSONField(default=dict)
    words = models.CharField(max_length=200, blank=True)
    sent_on = models.DateField()
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=~Q(origin=F("station")), name="a_transfer_leads_to_another_station"
            ),
        ]


class TransferReceipt(models.Model):
    """A transfer arrived: when, in which state. Insert-only."""

    transfer = models.OneToOneField(Transfer, on_delete=models.PROTECT, related_name="received")
    act_id = models.UUIDField(unique=True)
    movement = models.OneToOneField(
        "equipment.Movement", on_delete=models.PROTECT, related_name="+"
    )
    received_on = models.DateField()
    is_damaged = models.BooleanField(default=False)
    words = models.CharField(max_length=200, blank=True)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")
