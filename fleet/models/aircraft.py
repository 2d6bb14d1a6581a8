from __future__ import annotations

from django.db import models
from django.db.models import Q

from .types import AircraftType, Station, TypePosition


class Aircraft(models.Model):
    """One aircraft. ``status`` and ``station`` are the latest dated facts, kept as columns."""

    IN_SERVICE, PARKED, IN_CHECK, LEASED_OUT, LEFT = (
        "in_service",
        "parked",
        "in_check",
        "leased_out",
        "left",
    )
    STATUSES = (
        (IN_SERVICE, "in service"),
        (PARKED, "parked"),
        (IN_CHECK, "in check"),
        (LEASED_OUT, "leased out"),
        (LEFT, "left the fleet"),
    )

    registration = models.CharField(max_length=10, unique=True)
    msn = models.CharField(
        "MSN",
        max_length=24,
        blank=True,
        help_text="Manufacturer's serial number; empty: not known.",
    )
    aircraft_type = models.ForeignKey(
        AircraftType, on_delete=models.PROTECT, related_name="aircraft"
    )
    status = models.CharField(max_length=12, choices=STATUSES, default=IN_SERVICE)
    station = models.ForeignKey(Station, on_delete=models.PROTECT, related_name="aircraft")
    manufactured_on = models.DateField(null=True, blank=True)
    # Raised from a sequence whenever a fact that due items of this aircraft rest on changes.
    facts_stamp = models.BigIntegerField(default=0)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["aircraft_type", "msn"],
                condition=~Q(msn=""),
                name="one_aircraft_of_this_type_and_msn",
            ),
        ]

    def __str__(self) -> str:
        return self.registration


class AircraftStatus(models.Model):
    """From this day the aircraft has this status (in service, parked, in check, leased out, left the fleet).

    A line of a day may be replaced by a later one of that day, which names it; that one counts."""

    aircraft = models.ForeignKey(Aircraft, on_delete=models.PROTECT, related_name="statuses")
    status = models.CharField(max_length=12, choices=Aircraft.STATUSES)
    from_on = models.DateField()
    document = models.CharField(max_length=80, blank=True)
    replaces = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="replaced_by"
    )
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        "fleet.User", null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["aircraft", "from_on"],
                condition=Q(replaces=None),
                name="one_status_of_an_aircraft_from_a_day",
            ),
        ]


class AircraftStation(models.Model):
    """From this day the aircraft belongs to this station."""

    aircraft = models.ForeignKey(Aircraft, on_delete=models.PROTECT, related_name="stations")
    station = models.ForeignKey(Station, on_delete=models.PROTECT, related_name="+")
    from_on = models.DateField()
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        "fleet.User", null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["aircraft", "from_on"],
                name="one_station_of_an_aircraft_from_a_day",
            ),
        ]


class AircraftPosition(models.Model):
    """One position of one aircraft. ``is_active`` is the latest dated state, kept as a column."""

    aircraft = models.ForeignKey(Aircraft, on_delete=models.PROTECT, related_name="positions")
    type_position = models.ForeignKey(TypePosition, on_delete=models.PROTECT, related_name="+")
    is_active = models.BooleanField(default=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["aircraft", "type_position"],
                name="one_position_of_an_aircraft_per_layout_position",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.aircraft} {self.type_position}"


class PositionState(models.Model):
    """From this day the position is fitted out, deactivated or not there, by a document."""

    ACTIVE, DEACTIVATED, ABSENT = "active", "deactivated", "absent"
    STATES = (
        (ACTIVE, "active"),
        (DEACTIVATED, "deactivated"),
        (ABSENT, "not on this aircraft"),
    )

    position = models.ForeignKey(AircraftPosition, on_delete=models.PROTECT, related_name="states")
    state = models.CharField(max_length=12, choices=STATES)
    from_on = models.DateField()
    document = models.CharField(max_length=80)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        "fleet.User", null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["position", "from_on"],
                name="one_state_of_a_position_from_a_day",
            ),
        ]
