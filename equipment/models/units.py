from __future__ import annotations

from collections.abc import Iterable

from django.contrib.postgres.indexes import GinIndex, OpClass
from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Coalesce, Upper

from fleet.models import Aircraft, Station

PRECISIONS = (
    ("instant", "to the minute"),
    ("day", "to the day"),
    ("month", "to the month"),
    ("year", "to the year"),
)


class UnitQuerySet(models.QuerySet["Unit"]):
    """Units by where they are now; those that turned out to be another are nowhere."""

    def installed_on(self, aircraft: Aircraft | int) -> UnitQuerySet:
        """On the aircraft, at whatever depth."""
        return self.filter(aircraft=aircraft)

    def in_store(self, station: Station | int) -> UnitQuerySet:
        """In the station's store, ready for stock: not those in quarantine."""
        return self.filter(place__sort="store", place__station=station)

    def in_quarantine(self, station: Station | int) -> UnitQuerySet:
        return self.filter(place__sort="quarantine", place__station=station)

    def same_as(self, units: Iterable[Unit | int]) -> UnitQuerySet:
        """Every record of these units, whichever of them is named: the kept one and those that were
        merged into it."""
        as_kept = Coalesce("merged_into", "pk")
        keys = [unit if isinstance(unit, int) else unit.pk for unit in units]
        kept = Unit.objects.filter(pk__in=keys).values_list(as_kept, flat=True)
        return self.alias(as_kept=as_kept).filter(as_kept__in=kept)

    def inside(self, *units: Unit | int) -> UnitQuerySet:
        """In these units' own positions, one level down, whichever of their records is named.

        All that is inside, as deep as it goes, is :func:`equipment.ledger.nesting.inside_now`.
        """
        return self.filter(
            place__parent_unit__in=Unit.objects.same_as(units), merged_into__isnull=True
        )


class Unit(models.Model):
    """One serialised thing, or a lot, from receipt to scrap.

    Known by maker (of the original part), *original* part number and serial number; the current
    part number and standard are dated facts (:class:`Identification`), kept here as columns.
    A lot is a unit with ``quantity`` over one or its part tracked by batch; a split keeps
    ``split_from``. ``place`` is the latest stay, kept as a column by the ledger alone.
    """

    # What a unit names of the parts is held by set-wise triggers (migration 0006), not by a foreign
    # key: a load of 100,000 units asks once instead of 230,000 times.
    original_part = models.ForeignKey(
        "equipment.PartNumber",
        on_delete=models.PROTECT,
        related_name="+",
        db_constraint=False,
        db_index=False,  # the unique constraint begins with it
    )
    serial_number = models.CharField(max_length=40)
    part_number = models.ForeignKey(
        "equipment.PartNumber", on_delete=models.PROTECT, related_name="units", db_constraint=False
    )
    standard = models.ForeignKey(
        "equipment.ModificationStandard",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
        db_constraint=False,
        db_index=False,
    )
    manufactured_on = models.DateField(
        null=True, blank=True, help_text="First day of the month if only that is known."
    )
    manufactured_precision = models.CharField(max_length=8, choices=PRECISIONS, default="day")
    stated_life_months = models.PositiveIntegerField(
        null=True, blank=True, help_text="Beats the part number's."
    )
    quantity = models.PositiveIntegerField(default=1)
    split_from = models.ForeignKey(
        "self",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="splits",
        db_index=False,
    )
    merged_into = models.ForeignKey(
        "self",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="absorbed",
        db_index=False,
    )
    note = models.CharField(max_length=200, blank=True)
    # Derived by the ledger, rebuildable: where it is now.
    place = models.ForeignKey(
        "equipment.Place",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="units",
        db_constraint=False,  # derived: check_whereabouts compares it
        db_index=False,
    )
    aircraft = models.ForeignKey(
        "fleet.Aircraft",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
        db_index=False,
        db_constraint=False,
    )
    # Raised from a sequence whenever a fact that this unit's due items rest on changes.
    facts_stamp = models.BigIntegerField(default=0)
    recorded_at = models.DateTimeField()

    objects = UnitQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["original_part", "serial_number"],
                name="one_unit_of_this_maker_part_and_serial",
            ),
            models.CheckConstraint(condition=Q(quantity__gte=0), name="a_lot_is_not_negative"),
            models.CheckConstraint(
                condition=Q(merged_into__isnull=True) | ~Q(merged_into=F("id")),
                name="a_unit_is_not_merged_into_itself",
            ),
            models.CheckConstraint(
                condition=~Q(serial_number=""), name="a_unit_has_a_serial_number"
            ),
        ]
        indexes = [
            # The unit that this one turned out to be, or itself.
            models.Index(Coalesce("merged_into", "id"), name="unit_as_kept"),
            # Any part of a serial number. What a load adds waits in a list that a search reads too, and
            # is sorted in by the server later: a load of 100,000 units is not slower for it.
            GinIndex(
                OpClass(Upper("serial_number"), name="gin_trgm_ops"),
                name="unit_by_part_of_serial",
                fastupdate=True,
                gin_pending_list_limit=65_536,
            ),
            # Few units have these: the many that have not cost nothing.
            *(
                models.Index(
                    fields=[name], name=f"unit_by_{name}", condition=Q(**{f"{name}__isnull": False})
                )
                for name in ("standard", "split_from", "merged_into", "place", "aircraft")
            ),
        ]

    def __str__(self) -> str:
        return f"{self.part_number} S/N {self.serial_number}"


class Identification(models.Model):
    """From this day the unit is this part number at this standard, by this document. Insert-only."""

    unit = models.ForeignKey(Unit, on_delete=models.PROTECT, related_name="identifications")
    part_number = models.ForeignKey(
        "equipment.PartNumber", on_delete=models.PROTECT, related_name="+"
    )
    standard = models.ForeignKey(
        "equipment.ModificationStandard",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
    )
    from_on = models.DateField()
    document = models.CharField(max_length=80)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        "fleet.User", null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["unit", "from_on"],
                name="one_identification_of_a_unit_from_a_day",
            )
        ]


class UnitMerge(models.Model):
    """Two units turned out to be one: the absorbed one's facts count as the kept one's. Insert-only."""

    kept = models.ForeignKey(Unit, on_delete=models.PROTECT, related_name="merges")
    absorbed = models.OneToOneField(Unit, on_delete=models.PROTECT, related_name="merge")
    reason = models.CharField(max_length=200)
    document = models.CharField(max_length=80, blank=True)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        "fleet.User", null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=~Q(kept=F("absorbed")), name="a_unit_does_not_absorb_itself"
            ),
        ]


class UnitCorrection(models.Model):
    """What the record said of a unit was wrong and was put right: what it said ``before`` and ``after``
    (serial_number, part_number, manufactured_on, manufactured_precision), why, by whom. Insert-only."""

    unit = models.ForeignKey(Unit, on_delete=models.PROTECT, related_name="corrections")
    act_id = models.UUIDField(unique=True)
    before = models.JSONField()
    after = models.JSONField()
    reason = models.CharField(max_length=200)
    document = models.CharField(max_length=80, blank=True)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")
