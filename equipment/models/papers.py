from __future__ import annotations

from django.db import models
from django.db.models import Q

from .owing import PER
from .units import PRECISIONS


class LifeStatement(models.Model):
    """A dated total of one measure of one unit, with its source and how good it is. Insert-only.

    Totals are minutes or counts as the measure says. The reckoning counts on from the latest.
    ``since`` tells what the total counts from: new, or the last overhaul.
    """

    QUALITIES = (
        ("certificate", "on a certificate"),
        ("previous_operator", "stated by the previous operator"),
        ("assumption", "cautious assumption"),
        ("own_record", "counted by our own records"),
    )
    unit = models.ForeignKey(
        "equipment.Unit", on_delete=models.PROTECT, related_name="life_statements"
    )
    measure = models.ForeignKey("fleet.Measure", on_delete=models.PROTECT, related_name="+")
    stated_on = models.DateField(help_text="The total holds at the end of this day.")
    total = models.BigIntegerField()
    since = models.CharField(
        max_length=10,
        choices=(("new", "since new"), ("overhaul", "since overhaul")),
        default="new",
    )
    source = models.CharField(max_length=80)
    quality = models.CharField(max_length=20, choices=QUALITIES)
    corrects = models.OneToOneField(
        "self",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="corrected_by",
    )
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        "fleet.User", null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(total__gte=0), name="a_life_total_is_not_negative"),
            models.UniqueConstraint(
                fields=["unit", "measure", "since", "stated_on"],
                condition=Q(corrects__isnull=True),
                name="one_life_statement_of_a_measure_per_day",
            ),
        ]


class Certificate(models.Model):
    """A release certificate or other paper of a unit. Insert-only.

    ``printed_serial`` is what its block 10 prints, ``covers`` how many units or pieces it says it is for.
    """

    unit = models.ForeignKey(
        "equipment.Unit", on_delete=models.PROTECT, related_name="certificates"
    )
    form = models.CharField(max_length=40, help_text="The form's name as printed.")
    tracking_number = models.CharField(max_length=40)
    issued_on = models.DateField()
    issuer = models.CharField(max_length=80)
    status = models.CharField(max_length=40, help_text="The form's status/work term.")
    remarks = models.CharField(max_length=200, blank=True)
    is_dual_release = models.BooleanField(default=False)
    supplier = models.CharField(max_length=80, blank=True)
    work_order = models.CharField(max_length=40, blank=True)
    covers = models.PositiveIntegerField(null=True, blank=True)
    approval_number = models.CharField(max_length=60, blank=True)
    signatory = models.CharField(max_length=80, blank=True)
    printed_serial = models.CharField(max_length=400, blank=True)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        "fleet.User", null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["unit", "form", "tracking_number"],
                name="one_certificate_of_this_number_for_a_unit",
            )
        ]


class StrayPaper(models.Model):
    """A certificate that came with a unit and names another: kept with it, and no paper of it. Insert-only."""

    act_id = models.UUIDField(unique=True)
    unit = models.ForeignKey(
        "equipment.Unit", on_delete=models.PROTECT, related_name="stray_papers"
    )
    form = models.CharField(max_length=40)
    tracking_number = models.CharField(max_length=40)
    issued_on = models.DateField()
    issuer = models.CharField(max_length=80)
    status = models.CharField(max_length=40)
    printed_serial = models.CharField(max_length=400)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")


class UnitPrice(models.Model):
    """What a unit cost when it came, each piece of a lot. Insert-only; the latest counts."""

    act_id = models.UUIDField(unique=True)
    unit = models.ForeignKey("equipment.Unit", on_delete=models.PROTECT, related_name="prices")
    amount = models.DecimalField(max_digits=12, decimal_places=2)
    currency = models.CharField(max_length=3)
    paid_on = models.DateField()
    document = models.CharField(max_length=80, blank=True)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(amount__gte=0), name="a_price_is_not_negative"),
        ]


class Title(models.Model):
    """Ownership from a day on, apart from place: owned, leased, pool loan, exchange, consigned. Insert-only."""

    SORTS = (
        ("owned", "owned"),
        ("leased", "leased with the aircraft"),
        ("pool_loan", "pool loan"),
        ("exchange", "exchange"),
        ("consigned", "consigned"),
    )
    unit = models.ForeignKey("equipment.Unit", on_delete=models.PROTECT, related_name="titles")
    sort = models.CharField(max_length=12, choices=SORTS)
    owner = models.CharField(max_length=80)
    from_on = models.DateField()
    return_by = models.DateField(null=True, blank=True)
    core_due_on = models.DateField(null=True, blank=True)
    customs = models.CharField(max_length=80, blank=True)
    restriction = models.CharField(max_length=120, blank=True)
    charge = models.CharField(max_length=80, blank=True, help_text="What it costs, in words.")
    charge_amount = models.DecimalField(max_digits=12, decimal_places=2, null=True, blank=True)
    charge_per = models.CharField(max_length=5, choices=PER, blank=True)
    currency = models.CharField(max_length=3, blank=True)
    document = models.CharField(max_length=80, blank=True)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        "fleet.User", null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["unit", "from_on"], name="one_title_of_a_unit_from_a_day"
            )
        ]


class Sighting(models.Model):
    """What somebody read on a unit in its place. It moves nothing; it is reconciled later. Insert-only."""

    act_id = models.UUIDField(unique=True)
    seen_at = models.DateTimeField()
    precision = models.CharField(max_length=8, choices=PRECISIONS, default="day")
    place = models.ForeignKey(
        "equipment.Place",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="sightings",
    )
    unit = models.ForeignKey(
        "equipment.Unit",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="sightings",
    )
    part_number_read = models.CharField(max_length=40, blank=True)
    serial_number_read = models.CharField(max_length=40, blank=True)
    expiry_read = models.DateField(null=True, blank=True)
    gauge_read = models.CharField(max_length=40, blank=True)
    pin_read = models.CharField(max_length=40, blank=True)
    note = models.CharField(max_length=200, blank=True)
    walk_round = models.ForeignKey(
        "equipment.WalkRound",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="sightings",
    )
    reconciles = models.OneToOneField(
        "self",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="reconciled_by",
    )
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        "fleet.User", null=True, on_delete=models.PROTECT, related_name="+"
    )


class RecordsLost(models.Model):
    """Records of a unit were lost: what is missing, and the best estimate taken instead. Insert-only."""

    act_id = models.UUIDField(unique=True)
    unit = models.ForeignKey(
        "equipment.Unit", on_delete=models.PROTECT, related_name="records_lost"
    )
    lost = models.CharField(max_length=300)
    estimate = models.CharField(max_length=300)
    document = models.CharField(max_length=80)
    from_on = models.DateField(null=True, blank=True)
    until_on = models.DateField(null=True, blank=True)
    submitted_to = models.CharField(max_length=80, blank=True)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")


class PrintedTag(models.Model):
    """A tag was printed to hang on a unit: which print of the unit's it is, and what it says. Insert-only."""

    act_id = models.UUIDField(unique=True)
    unit = models.ForeignKey("equipment.Unit", on_delete=models.PROTECT, related_name="printed")
    tag = models.ForeignKey("equipment.UnitTag", on_delete=models.PROTECT, related_name="printed")
    number = models.PositiveSmallIntegerField()
    is_serviceable = models.BooleanField()
    printed_at = models.DateTimeField()
    printed_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["unit", "number"], name="each_print_of_a_unit_has_its_number"
            ),
        ]


class TagBack(models.Model):
    """A printed tag that holds no more was taken off and destroyed. Insert-only."""

    printed = models.OneToOneField(PrintedTag, on_delete=models.PROTECT, related_name="back")
    act_id = models.UUIDField(unique=True)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")
