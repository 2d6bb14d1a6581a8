from __future__ import annotations

from django.contrib.postgres.fields import ArrayField
from django.db import models
from django.db.models import F, Q


class IncomingInspection(models.Model):
    """A received unit was looked at, its papers read, and the result signed. Insert-only.

    ``checks`` holds what was looked at with yes or no; ``content`` and ``digest`` are as of a
    signature of a swap.
    """

    RESULTS = (("accepted", "accepted to stock"), ("quarantined", "to quarantine"))
    act_id = models.UUIDField(unique=True)
    unit = models.ForeignKey(
        "equipment.Unit", on_delete=models.PROTECT, related_name="incoming_inspections"
    )
    certificate = models.ForeignKey(
        "equipment.Certificate", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    movement = models.ForeignKey(
        "equipment.Movement", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    checks = models.JSONField()
    result = models.CharField(max_length=12, choices=RESULTS)
    words = models.CharField(max_length=300, blank=True)
    statement = models.CharField(max_length=400)
    name = models.CharField(max_length=120)
    content = models.JSONField()
    digest = models.CharField(max_length=64)
    signed_at = models.DateTimeField()
    by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")


class Hold(models.Model):
    """Units that may not be used until a doubt is cleared, wherever they are. Insert-only.

    Of one unit, or of all of a certificate, a supplier or a lot: ``value`` is its number or name.
    """

    SCOPES = (
        ("unit", "one unit"),
        ("certificate", "every unit of a certificate"),
        ("supplier", "every unit of a supplier"),
        ("lot", "every unit of a lot"),
    )
    WHY = (
        ("unapproved", "suspected unapproved part"),
        ("recall", "recalled by its maker"),
        ("papers", "papers missing or doubtful"),
        ("other", "another doubt"),
    )
    act_id = models.UUIDField(unique=True)
    scope = models.CharField(max_length=12, choices=SCOPES)
    value = models.CharField(max_length=80)
    unit = models.ForeignKey(
        "equipment.Unit", null=True, blank=True, on_delete=models.PROTECT, related_name="holds"
    )
    why = models.CharField(max_length=12, choices=WHY)
    words = models.CharField(max_length=300)
    document = models.CharField(max_length=80, blank=True)
    held_at = models.DateTimeField()
    held_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(scope="unit", unit__isnull=False)
                | (~Q(scope="unit") & Q(unit__isnull=True) & ~Q(value="")),
                name="a_hold_names_what_it_holds",
            ),
        ]


class HoldEnd(models.Model):
    """The doubt was cleared, by which paper. Insert-only."""

    hold = models.OneToOneField(Hold, on_delete=models.PROTECT, related_name="ended")
    act_id = models.UUIDField(unique=True)
    words = models.CharField(max_length=300)
    document = models.CharField(max_length=80, blank=True)
    ended_at = models.DateTimeField()
    ended_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")


class ShopOrder(models.Model):
    """A unit was sent to a shop: which work was asked for, and when it is promised back. Insert-only.

    Several units may go under one number of a shop, each a row with a promise and an end of its own.
    """

    act_id = models.UUIDField(unique=True)
    unit = models.ForeignKey("equipment.Unit", on_delete=models.PROTECT, related_name="shop_orders")
    movement = models.OneToOneField(
        "equipment.Movement", on_delete=models.PROTECT, related_name="shop_order"
    )
    shop = models.CharField(max_length=80)
    number = models.CharField(max_length=40)
    station = models.ForeignKey("fleet.Station", on_delete=models.PROTECT, related_name="+")
    works = ArrayField(models.CharField(max_length=32), default=list)
    words = models.CharField(max_length=300, blank=True)
    sent_on = models.DateField()
    promised_on = models.DateField()
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["shop", "number", "unit"], name="a_unit_is_once_on_an_order_of_a_shop"
            ),
            models.CheckConstraint(
                condition=Q(promised_on__gte=F("sent_on")),
                name="a_shop_promises_no_day_before_the_sending",
            ),
        ]


class ShopDays(models.Model):
    """A shop takes nothing from a day on, to a last day or until further notice, or is open again. Insert-only; the latest
    of a shop counts."""

    CLOSED, OPEN = "closed", "open"
    SORTS = ((CLOSED, "closed"), (OPEN, "open again"))
    act_id = models.UUIDField(unique=True)
    shop = models.CharField(max_length=80)
    sort = models.CharField(max_length=6, choices=SORTS)
    from_on = models.DateField()
    until_on = models.DateField(
        null=True, blank=True, help_text="The last day on which it is closed."
    )
    words = models.CharField(max_length=200, blank=True)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(until_on__isnull=True) | Q(until_on__gte=F("from_on")),
                name="a_shop_is_not_closed_backwards",
            ),
        ]


class ShopPromise(models.Model):
    """A later promise of the shop, or an answer to being chased. Insert-only; the latest counts."""

    order = models.ForeignKey(ShopOrder, on_delete=models.PROTECT, related_name="promises")
    act_id = models.UUIDField(unique=True)
    promised_on = models.DateField()
    words = models.CharField(max_length=200, blank=True)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")


class ShopReturn(models.Model):
    """A shop order ended: the unit came back, with what was done to it and at what price. Insert-only."""

    HOW = (
        ("done", "the work was done"),
        ("untouched", "came back untouched"),
        ("scrapped", "beyond repair"),
    )
    order = models.OneToOneField(ShopOrder, on_delete=models.PROTECT, related_name="returned")
    act_id = models.UUIDField(unique=True)
    how = models.CharField(max_length=10, choices=HOW, default="done")
    movement = models.ForeignKey(
        "equipment.Movement", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    certificate = models.ForeignKey(
        "equipment.Certificate", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    returned_on = models.DateField()
    works = ArrayField(models.CharField(max_length=32), default=list)
    price = models.DecimalField(max_digits=12, decimal_places=2, null=True, blank=True)
    currency = models.CharField(max_length=3, blank=True)
    results = models.CharField(
        max_length=300, blank=True, help_text="Results and measures of the work, as reported."
    )
    words = models.CharField(max_length=300, blank=True)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")


class Transport(models.Model):
    """How long goods take from one station to another, and what that costs: the operator's data."""

    origin = models.ForeignKey("fleet.Station", on_delete=models.PROTECT, related_name="+")
    station = models.ForeignKey("fleet.Station", on_delete=models.PROTECT, related_name="+")
    takes_dangerous_goods = models.BooleanField(default=False)
    days = models.PositiveSmallIntegerField()
    cost = models.PositiveIntegerField(default=0)
    document = models.CharField(max_length=80, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["origin", "station", "takes_dangerous_goods"],
                name="one_way_between_two_stations",
            ),
        ]


class StoresRule(models.Model):
    """The operator's rules of stock for a kind: least life at issue, the shop's usual time, removals
    that nobody plans, and how often a wish must be met from stock."""

    kind = models.OneToOneField("fleet.Kind", on_delete=models.PROTECT, related_name="+")
    least_days_at_issue = models.PositiveSmallIntegerField(default=0)
    turn_days = models.PositiveSmallIntegerField(default=45)
    hurry_days = models.PositiveSmallIntegerField(default=0)
    unplanned_a_year = models.DecimalField(max_digits=8, decimal_places=3, default=0)
    fill_rate = models.DecimalField(max_digits=4, decimal_places=3, default="0.95")
    document = models.CharField(max_length=80, blank=True)
