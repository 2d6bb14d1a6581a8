from __future__ import annotations

from django.db import models
from django.db.models import Q


class Cabin(models.Model):
    """From this day an aircraft has so many passenger seats and carries at most so many people, overwater
    or not. Insert-only: a change is a later row."""

    act_id = models.UUIDField(unique=True)
    aircraft = models.ForeignKey("fleet.Aircraft", on_delete=models.PROTECT, related_name="cabins")
    from_on = models.DateField()
    seats = models.PositiveSmallIntegerField(help_text="For passengers.")
    occupants = models.PositiveSmallIntegerField(help_text="The most people on board, crew too.")
    is_overwater = models.BooleanField(default=False, help_text="It flies extended overwater.")
    document = models.CharField(max_length=80)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        "fleet.User", null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["aircraft", "from_on"], name="one_cabin_of_an_aircraft_from_a_day"
            ),
            models.CheckConstraint(
                condition=Q(occupants__gte=models.F("seats")),
                name="everybody_on_a_seat_is_an_occupant",
            ),
        ]


class ComplementRule(models.Model):
    """How much of a kind must be on board: one line of the operator's rule. Insert-only.

    By seats: from so many passenger seats at least ``number``. By occupants: ``number`` for each. By
    rafts: they hold all occupants with the largest of them lost.
    """

    BY = (("seats", "passenger seats"), ("occupants", "occupants"), ("rafts", "raft capacity"))
    document = models.CharField(max_length=80)
    kind = models.ForeignKey("fleet.Kind", on_delete=models.PROTECT, related_name="+")
    by = models.CharField(max_length=12, choices=BY)
    seats_from = models.PositiveSmallIntegerField(default=0)
    number = models.PositiveSmallIntegerField(default=1)
    only_overwater = models.BooleanField(default=False)
    aircraft_type = models.ForeignKey(
        "fleet.AircraftType",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
        help_text="Only for this type.",
    )
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        "fleet.User", null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["document", "kind", "by", "seats_from", "aircraft_type"],
                name="one_line_of_a_complement",
                nulls_distinct=False,
            ),
        ]
