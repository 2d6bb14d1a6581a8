"""Where units can be, and the dated facts of where they went."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Coalesce

from .units import PRECISIONS, Unit

#: How exactly the day of a movement is known. ``by``: the unit was there on or before that day; since
#: when is not known, and a clock that counts from it has no start.
BY = "by"
MOVED = (*PRECISIONS, (BY, "on or before that day"))


class Place(models.Model):
    """Anywhere a unit can be: a position of an aircraft, a position inside a unit, a store, a shop.

    ``capacity`` is null where any number may be (a store); a position holds what its layout says.
    """

    AIRCRAFT, INSIDE, STORE, QUARANTINE, SHOP, PARTY, GONE = (
        "aircraft",
        "inside",
        "store",
        "quarantine",
        "shop",
        "party",
        "gone",
    )
    SORTS = (
        (AIRCRAFT, "a position of an aircraft"),
        (INSIDE, "a position inside a unit"),
        (STORE, "the store of a station"),
        (QUARANTINE, "the quarantine of a station"),
        (SHOP, "a shop"),
        (PARTY, "another party"),
        (GONE, "no more (scrapped, sold, lost)"),
    )
    sort = models.CharField(max_length=10, choices=SORTS)
    aircraft_position = models.ForeignKey(
        "fleet.AircraftPosition",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
    )
    parent_unit = models.ForeignKey(
        "equipment.Unit",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="inner_places",
    )
    part_position = models.ForeignKey(
        "equipment.PartPosition",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
    )
    station = models.ForeignKey(
        "fleet.Station",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
    )
    name = models.CharField(
        max_length=80,
        blank=True,
        help_text="Of the shop, the party, the bin of a store, or how it is gone.",
    )
    capacity = models.PositiveSmallIntegerField(null=True, blank=True)
    #: ``capacity``, zero where any number may be: what a stay there must name.
    holds = models.GeneratedField(
        expression=Coalesce("capacity", 0),
        output_field=models.PositiveSmallIntegerField(),
        db_persist=True,
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=[
                    "sort",
                    "aircraft_position",
                    "parent_unit",
                    "part_position",
                    "station",
                    "name",
                ],
                name="one_place_of_this_description",
                nulls_distinct=False,
            ),
            models.CheckConstraint(
                condition=Q(
                    sort="aircraft",
                    aircraft_position__isnull=False,
                    capacity__isnull=False,
                )
                | Q(
                    sort="inside",
                    parent_unit__isnull=False,
                    part_position__isnull=False,
                    capacity__isnull=False,
                )
                | Q(
                    sort__in=["store", "quarantine"],
                    station__isnull=False,
                    capacity__isnull=True,
                )
                | Q(sort__in=["shop", "party", "gone"], capacity__isnull=True),
                name="a_place_is_described_by_its_sort",
            ),
            models.UniqueConstraint(fields=["id", "holds"], name="place_with_what_it_holds"),
        ]

    @property
    def around(self) -> Unit | None:
        """The unit around a place inside one, as kept: the place goes on naming the record it was made for."""
        made_for = self.parent_unit
        return made_for and (made_for.merged_into or made_for)

    @property
    def around_id(self) -> int | None:
        """The key of the unit around it. Reads ``parent_unit``."""
        made_for = self.parent_unit
        return None if made_for is None else made_for.merged_into_id or made_for.pk


class MovementQuerySet(models.QuerySet["Movement"]):
    """The ledger by unit, and what of it is still to be settled."""

    def of_unit(self, unit: Unit | int) -> MovementQuerySet:
        """The whole history of a unit and of those that turned out to be it, as it happened.

        Corrected, annulled and not conforming ones too.
        """
        key = unit if isinstance(unit, int) else unit.pk
        return self.filter(Q(unit=key) | Q(unit__merged_into=key)).order_by(
            "happened_at", "day_order", "pk"
        )

    def nonconforming(self) -> MovementQuerySet:
        """Kept with reasons and not reconciled yet: nothing replaced or annulled them."""
        return self.filter(is_conforming=False, corrected_by=None, annulment=None).order_by(
            "happened_at", "pk"
        )


class Movement(models.Model):
    """One dated fact about where a unit is. Insert-only.

    ``happened_at`` is an instant in UTC; for a date alone it is the start of that day in ``zone``
    (a month alone: of its first day) and ``precision`` says so, or that it was so by that day; ``day_order`` orders facts of one
    day. Aircraft totals as read (minutes, count) win over interpolated readings. A movement that
    contradicts the facts is kept with ``is_conforming`` false and its reasons, and stays out of
    what it would falsify until a later one corrects it.
    """

    SORTS = (
        ("received", "received"),
        ("installed", "installed"),
        ("removed", "removed"),
        ("sent", "sent"),
        ("returned", "returned"),
        ("quarantined", "quarantined"),
        ("released", "released to stock"),
        ("lent", "lent"),
        ("borrowed", "borrowed"),
        ("exchanged", "exchanged"),
        ("sold", "sold"),
        ("lost", "lost"),
        ("found", "found"),
        ("scrapped", "scrapped"),
        ("split", "split from a lot"),
        ("stowed", "put in a bin"),
        ("used", "used up"),
        ("joined", "joined with another of its lot"),
    )
    unit = models.ForeignKey(
        "equipment.Unit", on_delete=models.PROTECT, related_name="movements", db_index=False
    )
    sort = models.CharField(max_length=12, choices=SORTS)
    to_place = models.ForeignKey(
        Place, on_delete=models.PROTECT, related_name="arrivals", db_index=False
    )
    happened_at = models.DateTimeField()
    precision = models.CharField(max_length=8, choices=MOVED, default="day")
    zone = models.CharField(max_length=40, default="UTC")
    day_order = models.SmallIntegerField(default=0)
    aircraft_minutes = models.BigIntegerField(null=True, blank=True)
    aircraft_cycles = models.BigIntegerField(null=True, blank=True)
    log_page = models.CharField(max_length=40, blank=True)
    document = models.CharField(max_length=80, blank=True)
    reason = models.CharField(max_length=200, blank=True)
    quantity = models.PositiveIntegerField(default=1)
    corrects = models.OneToOneField(
        "self",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="corrected_by",
    )
    is_conforming = models.BooleanField(default=True)
    reasons = models.JSONField(default=list, blank=True)
    act_id = models.UUIDField()
    sender_at = models.DateTimeField(
        null=True, blank=True, help_text="The sender's clock, beside the server's."
    )
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        "fleet.User", null=True, on_delete=models.PROTECT, related_name="+", db_index=False
    )

    objects = MovementQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["act_id", "unit"], name="one_movement_of_a_unit_per_act"
            ),
            models.CheckConstraint(
                condition=Q(corrects__isnull=True) | ~Q(corrects=F("id")),
                name="a_movement_does_not_correct_itself",
            ),
        ]
        indexes = [
            models.Index(fields=["unit", "happened_at"], name="movement_of_unit_by_time"),
            # Few do not conform: what waits to be reconciled is found among them.
            models.Index(
                fields=["unit"], condition=Q(is_conforming=False), name="movement_to_reconcile"
            ),
        ]


class Correction(models.Model):
    """A movement is annulled: it never happened. (A replacement is a movement that names it.) Insert-only."""

    movement = models.OneToOneField(Movement, on_delete=models.PROTECT, related_name="annulment")
    reason = models.CharField(max_length=200)
    act_id = models.UUIDField(unique=True)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        "fleet.User", null=True, on_delete=models.PROTECT, related_name="+"
    )
