from __future__ import annotations

from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Upper


class Maker(models.Model):
    """A maker of parts, known by a code (such as a CAGE code) and a name."""

    code = models.CharField(max_length=16, unique=True)
    name = models.CharField(max_length=80)

    def __str__(self) -> str:
        return self.name


class MakerAlias(models.Model):
    """Another name or code under which the same maker appears on plates and papers."""

    maker = models.ForeignKey(Maker, on_delete=models.PROTECT, related_name="aliases")
    alias = models.CharField(max_length=80)

    class Meta:
        constraints = [models.UniqueConstraint(Upper("alias"), name="one_maker_per_alias")]


class PartNumber(models.Model):
    """What a unit is: a maker's part, its kind, and whether it comes off on the line or in the shop."""

    LINE, SHOP = "line", "shop"

    maker = models.ForeignKey(Maker, on_delete=models.PROTECT, related_name="part_numbers")
    number = models.CharField(max_length=40)
    description = models.CharField(max_length=120)
    kind = models.ForeignKey("fleet.Kind", on_delete=models.PROTECT, related_name="+")
    mass_kg = models.DecimalField(max_digits=8, decimal_places=3, null=True, blank=True)
    removed = models.CharField(
        max_length=4,
        choices=((LINE, "on the line"), (SHOP, "in the shop")),
        default=LINE,
    )
    dangerous_goods = models.CharField(
        max_length=24, blank=True, help_text="Class and UN number, free data."
    )
    is_lot = models.BooleanField(default=False, help_text="Tracked by batch and quantity.")
    stated_life_months = models.PositiveIntegerField(
        null=True, blank=True, help_text="As its maker states."
    )
    carries = models.PositiveSmallIntegerField(
        null=True,
        blank=True,
        help_text="Of a raft or slide-raft: how many persons it is rated for.",
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["maker", "number"], name="one_part_number_per_maker")
        ]

    def __str__(self) -> str:
        return self.number


class ModificationStandard(models.Model):
    """A modification standard of a part number."""

    part_number = models.ForeignKey(PartNumber, on_delete=models.PROTECT, related_name="standards")
    code = models.CharField(max_length=24)
    document = models.CharField(max_length=80, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["part_number", "code"], name="one_standard_of_this_code"
            )
        ]

    def __str__(self) -> str:
        return self.code


class PartPosition(models.Model):
    """A position inside units of a part number: the light of a slide, a cartridge of a bottle."""

    part_number = models.ForeignKey(PartNumber, on_delete=models.PROTECT, related_name="positions")
    code = models.CharField(max_length=32)
    name = models.CharField(max_length=80)
    kind = models.ForeignKey("fleet.Kind", on_delete=models.PROTECT, related_name="+")
    capacity = models.PositiveSmallIntegerField(default=1)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["part_number", "code"],
                name="one_position_of_this_code_in_a_part",
            ),
            models.CheckConstraint(
                condition=Q(capacity__gte=1),
                name="a_position_inside_holds_at_least_one",
            ),
        ]

    def __str__(self) -> str:
        return self.code


class Fit(models.Model):
    """A part number may occupy a position of a type, or a position inside another part.

    ``msn_from`` and ``msn_to`` bound the aircraft (empty: no bound); ``standards`` lists the
    modification standards that may go there (empty: all); ``condition`` names a rule such as
    ``both_sides_same``.
    """

    part_number = models.ForeignKey(PartNumber, on_delete=models.PROTECT, related_name="fits")
    type_position = models.ForeignKey(
        "fleet.TypePosition",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
    )
    part_position = models.ForeignKey(
        PartPosition, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    msn_from = models.CharField(max_length=24, blank=True)
    msn_to = models.CharField(max_length=24, blank=True)
    standards = models.JSONField(default=list, blank=True)
    condition = models.CharField(
        max_length=24, blank=True, choices=(("both_sides_same", "both sides the same"),)
    )
    document = models.CharField(max_length=80, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(type_position__isnull=False, part_position__isnull=True)
                | Q(type_position__isnull=True, part_position__isnull=False),
                name="a_fit_is_on_an_aircraft_or_inside_a_part",
            ),
            models.UniqueConstraint(
                fields=["part_number", "type_position", "part_position", "msn_from"],
                name="one_fit_of_a_part_in_a_position",
                nulls_distinct=False,
            ),
        ]


class Alternate(models.Model):
    """One part number may stand for another: one way, or both ways."""

    part_number = models.ForeignKey(PartNumber, on_delete=models.PROTECT, related_name="alternates")
    alternate = models.ForeignKey(PartNumber, on_delete=models.PROTECT, related_name="alternate_of")
    is_two_way = models.BooleanField(default=False)
    document = models.CharField(max_length=80, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["part_number", "alternate"],
                name="one_alternate_between_two_parts",
            ),
            models.CheckConstraint(
                condition=~Q(part_number=F("alternate")),
                name="a_part_is_not_its_own_alternate",
            ),
        ]
