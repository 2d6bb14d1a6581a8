from __future__ import annotations

from django.db import models
from django.db.models import Q


class Station(models.Model):
    """An airport or hangar: its zone of time and what it is able to do."""

    code = models.CharField(max_length=8, unique=True)
    name = models.CharField(max_length=80)
    time_zone = models.CharField(max_length=40, default="UTC", help_text="An IANA zone name.")
    is_maintenance_base = models.BooleanField(default=False)
    abilities = models.JSONField(
        default=list, blank=True, help_text="Codes of works it is able to do."
    )

    def __str__(self) -> str:
        return self.code


class Kind(models.Model):
    """A kind of equipment and of the positions that take it: door slide, inflation bottle."""

    code = models.CharField(max_length=24, unique=True)
    name = models.CharField(max_length=80)
    chapter = models.CharField(max_length=8, blank=True, help_text="Chapter code NN-NN, free data.")

    def __str__(self) -> str:
        return self.name


class AircraftType(models.Model):
    """A type with a drawn layout. ``plan`` holds the cabin's drawing data, see fleet.drawing."""

    code = models.CharField(max_length=24, unique=True)
    name = models.CharField(max_length=80)
    plan = models.JSONField(default=dict, blank=True)

    def __str__(self) -> str:
        return self.code


class TypePosition(models.Model):
    """One position of a type's layout: a place on the cabin plan that takes units of a kind."""

    SIDES = (("left", "left"), ("right", "right"), ("centre", "centre"))

    aircraft_type = models.ForeignKey(
        AircraftType, on_delete=models.PROTECT, related_name="positions"
    )
    code = models.CharField(
        max_length=32, help_text="As on the operator's documents, e.g. D1L-SLIDE."
    )
    name = models.CharField(max_length=80)
    kind = models.ForeignKey(Kind, on_delete=models.PROTECT, related_name="+")
    zone = models.CharField(max_length=16, blank=True, help_text="Aircraft zone number or name.")
    access_group = models.CharField(
        max_length=24, blank=True, help_text="Opened by the same access."
    )
    side = models.CharField(max_length=6, choices=SIDES, default="centre")
    capacity = models.PositiveSmallIntegerField(default=1)
    x_cm = models.IntegerField(help_text="Along the fuselage from the nose, centimetres.")
    y_cm = models.IntegerField(help_text="From the centre line, negative is left, centimetres.")

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["aircraft_type", "code"],
                name="one_position_of_this_code_on_a_type",
            ),
            models.CheckConstraint(
                condition=Q(capacity__gte=1), name="a_position_holds_at_least_one"
            ),
        ]

    def __str__(self) -> str:
        return self.code
