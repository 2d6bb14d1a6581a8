from __future__ import annotations

from django.apps import apps
from django.db import models
from django.db.models import Exists, OuterRef, Q


class WalkRound(models.Model):
    """A check of what is really there, of one aircraft or one of its zones. Insert-only."""

    act_id = models.UUIDField(unique=True)
    aircraft = models.ForeignKey("fleet.Aircraft", on_delete=models.PROTECT, related_name="+")
    zone = models.CharField(max_length=16, blank=True)
    station = models.ForeignKey("fleet.Station", on_delete=models.PROTECT, related_name="+")
    started_at = models.DateTimeField()
    started_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")


class Discrepancy(models.Model):
    """What somebody found to differ from the record, until somebody settles it. Insert-only."""

    SORTS = (
        ("other_unit", "another unit than recorded"),
        ("no_unit", "no unit where one is recorded"),
        ("unrecorded_unit", "a unit where none is recorded"),
        ("unknown_unit", "a unit that is not on record"),
        ("condition", "its expiry, gauge or pin is not as it should be"),
        ("nonconforming", "done though it does not conform"),
        ("tool", "a value of a tool found out of tolerance"),
        ("late_entry", "entered long after the work"),
        ("not_shown", "a hold point that the card does not show to be kept"),
    )
    #: What is wrong with the record alone, and grounds nothing.
    OF_RECORDS = ("late_entry", "not_shown")
    act_id = models.UUIDField(unique=True)
    sort = models.CharField(max_length=16, choices=SORTS)
    aircraft = models.ForeignKey(
        "fleet.Aircraft", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    place = models.ForeignKey(
        "equipment.Place", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    swap = models.ForeignKey(
        "equipment.Swap",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="discrepancies",
    )
    walk_round = models.ForeignKey(
        WalkRound, null=True, blank=True, on_delete=models.PROTECT, related_name="discrepancies"
    )
    sighting = models.ForeignKey(
        "equipment.Sighting", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    movement = models.ForeignKey(
        "equipment.Movement", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    entry = models.ForeignKey(
        "equipment.StepEntry", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    recorded_unit = models.ForeignKey(
        "equipment.Unit",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
        help_text="What the records said was there.",
    )
    found_unit = models.ForeignKey(
        "equipment.Unit", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    words = models.CharField(max_length=400)
    found_at = models.DateTimeField()
    found_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")

    @property
    def is_of_records(self) -> bool:
        return self.sort in self.OF_RECORDS


class Settlement(models.Model):
    """How a discrepancy was settled, by which later fact. Insert-only."""

    SORTS = (
        ("corrected", "the record was corrected"),
        ("swap_recorded", "a swap nobody had recorded"),
        ("unit_received", "an unknown unit, now on record"),
        ("record_right", "the record is right, it was misread"),
        ("put_right", "put right by a later work"),
    )
    discrepancy = models.OneToOneField(
        Discrepancy, on_delete=models.PROTECT, related_name="settlement"
    )
    act_id = models.UUIDField(unique=True)
    sort = models.CharField(max_length=16, choices=SORTS)
    words = models.CharField(max_length=400)
    movement = models.ForeignKey(
        "equipment.Movement", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    swap = models.ForeignKey(
        "equipment.Swap", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    settled_at = models.DateTimeField()
    settled_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")


class UnitTagQuerySet(models.QuerySet["UnitTag"]):
    """A unit's tags by whether they were ever its own."""

    def standing(self) -> UnitTagQuerySet:
        """Without those that a swap gave to what it took off, where it turned out to be another unit, and
        those that were taken back."""
        links = apps.get_model("equipment", "SwapMovement")._default_manager
        of_tag = links.filter(swap=OuterRef("swap"), role="off", movement__unit=OuterRef("unit"))
        other = of_tag.filter(movement__corrected_by__is_conforming=True)
        other = other.exclude(movement__corrected_by__unit=OuterRef("unit"))
        never = of_tag.filter(movement__annulment__isnull=False)
        mine = self.exclude(Q(swap__isnull=False) & (Exists(other) | Exists(never)))
        return mine.filter(taken_back=None)


class UnitTag(models.Model):
    """What a unit was tagged, from a moment on: serviceable or not, and why. Insert-only.

    The latest counts. ``deployed`` and ``discharged`` hold until the shop has had the unit.
    """

    SORTS = (
        ("serviceable", "serviceable"),
        ("unserviceable", "unserviceable"),
        ("unsalvageable", "unsalvageable"),
    )
    WHY = (
        ("", "not said"),
        ("limit", "its limit has run out"),
        ("directive", "a directive is not complied with"),
        ("information", "information is missing"),
        ("defect", "a defect"),
        ("accident", "an accident or incident"),
        ("deployed", "deployed"),
        ("discharged", "discharged"),
        ("removed_good", "removed in good order"),
        ("shop", "released by the shop"),
    )
    act_id = models.UUIDField(unique=True)
    unit = models.ForeignKey("equipment.Unit", on_delete=models.PROTECT, related_name="tags")
    sort = models.CharField(max_length=14, choices=SORTS)
    why = models.CharField(max_length=14, choices=WHY, blank=True)
    words = models.CharField(max_length=300, blank=True)
    actions_needed = models.CharField(max_length=200, blank=True)
    exposure = models.CharField(max_length=200, blank=True, help_text="Adverse exposure, accident.")
    preservation = models.CharField(max_length=200, blank=True)
    swap = models.ForeignKey(
        "equipment.Swap", null=True, blank=True, on_delete=models.PROTECT, related_name="tags"
    )
    total_minutes = models.BigIntegerField(null=True, blank=True)
    total_cycles = models.BigIntegerField(null=True, blank=True)
    tagged_at = models.DateTimeField()
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")

    objects = UnitTagQuerySet.as_manager()

    class Meta:
        indexes = [models.Index(fields=["unit", "tagged_at"], name="tag_of_unit_by_time")]


class TagTakenBack(models.Model):
    """A unit was condemned by mistake: who decided so, why, by which document. Insert-only."""

    act_id = models.UUIDField(unique=True)
    tag = models.OneToOneField(UnitTag, on_delete=models.PROTECT, related_name="taken_back")
    unit = models.ForeignKey("equipment.Unit", on_delete=models.PROTECT, related_name="+")
    reason = models.CharField(max_length=300)
    document = models.CharField(max_length=80)
    taken_back_at = models.DateTimeField()
    taken_back_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")


class Filling(models.Model):
    """A bottle was filled, or a slide inflated: one use of a counted life. Insert-only."""

    SORTS = (("filling", "filling"), ("inflation", "inflation"), ("discharge", "discharge"))
    act_id = models.UUIDField(unique=True)
    unit = models.ForeignKey("equipment.Unit", on_delete=models.PROTECT, related_name="fillings")
    sort = models.CharField(max_length=10, choices=SORTS)
    done_on = models.DateField()
    number = models.PositiveIntegerField(help_text="The how-manieth of the unit's life.")
    psig = models.FloatField(null=True, blank=True)
    temperature_f = models.FloatField(null=True, blank=True)
    document = models.CharField(max_length=80, blank=True)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["unit", "sort", "number"], name="one_filling_of_this_number"
            ),
        ]


class Reservation(models.Model):
    """A unit is set aside for a position, until it is used or freed."""

    HOW = (
        ("used", "used"),
        ("freed", "freed"),
        ("failed", "its unit failed"),
        ("returned", "brought back unused"),
    )
    act_id = models.UUIDField(unique=True)
    unit = models.ForeignKey(
        "equipment.Unit", on_delete=models.PROTECT, related_name="reservations"
    )
    place = models.ForeignKey("equipment.Place", on_delete=models.PROTECT, related_name="+")
    need_on = models.DateField()
    words = models.CharField(max_length=200, blank=True)
    reserved_at = models.DateTimeField()
    reserved_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")
    issued_at = models.DateTimeField(null=True, blank=True)
    issued_by = models.ForeignKey(
        "fleet.User", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    issued_to = models.CharField(max_length=120, blank=True, help_text="Who it was handed to.")
    issued_job = models.CharField(max_length=80, blank=True, help_text="For which job.")
    issue_decision = models.CharField(
        max_length=200,
        blank=True,
        help_text="Who decided, and why, that it is handed over incomplete or with a limit unknown.",
    )
    ended_at = models.DateTimeField(null=True, blank=True)
    ended_how = models.CharField(max_length=8, choices=HOW, blank=True)
    ended_by = models.ForeignKey(
        "fleet.User", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["unit"],
                condition=Q(ended_at__isnull=True),
                name="a_unit_is_reserved_for_one_need",
            ),
        ]


class Attachment(models.Model):
    """A photo, a page of a card, a certificate's file: as it was brought. Insert-only."""

    act_id = models.UUIDField(unique=True)
    swap = models.ForeignKey(
        "equipment.Swap",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="attachments",
    )
    step = models.ForeignKey(
        "equipment.Step", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    sighting = models.ForeignKey(
        "equipment.Sighting",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="attachments",
    )
    certificate = models.ForeignKey(
        "equipment.Certificate",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="attachments",
    )
    stray = models.ForeignKey(
        "equipment.StrayPaper",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="attachments",
    )
    name = models.CharField(max_length=120)
    media_type = models.CharField(max_length=40)
    size = models.PositiveIntegerField()
    sha256 = models.CharField(max_length=64)
    content = models.BinaryField()
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")
