from __future__ import annotations

from django.db import models
from django.db.models import Q

from .limits import Programme


class PlanningRule(models.Model):
    """By what works are placed at checks: the days kept for a check that slips, and the two prices, in whole
    units of the operator's money. Insert-only; the latest holds."""

    act_id = models.UUIDField(unique=True)
    margin_days = models.PositiveSmallIntegerField()
    life_price = models.PositiveIntegerField(
        help_text="Of 100 days of life of a part number without a price of its own."
    )
    opening_price = models.PositiveIntegerField(
        help_text="Of opening an access without a price of its own."
    )
    document = models.CharField(max_length=80, blank=True)
    stated_at = models.DateTimeField()
    stated_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")


class LifePrice(models.Model):
    """What 100 days of life of a part number cost. Insert-only; the latest holds."""

    act_id = models.UUIDField(unique=True)
    part_number = models.ForeignKey(
        "equipment.PartNumber", on_delete=models.PROTECT, related_name="+"
    )
    price = models.PositiveIntegerField()
    stated_at = models.DateTimeField()
    stated_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")


class OpeningPrice(models.Model):
    """What opening an access of an aircraft type costs. Insert-only; the latest holds."""

    act_id = models.UUIDField(unique=True)
    aircraft_type = models.ForeignKey(
        "fleet.AircraftType", on_delete=models.PROTECT, related_name="+"
    )
    access_group = models.CharField(max_length=24)
    price = models.PositiveIntegerField()
    stated_at = models.DateTimeField()
    stated_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")


class Placement(models.Model):
    """The controller decided where one due item is done, whatever the rule says. Insert-only; of an item
    the latest counts, while its interval runs: it began on ``start_on``."""

    AT_CHECK, OWN_TIME, BY_RULE = "check", "own", "rule"
    SORTS = (
        (AT_CHECK, "at this check"),
        (OWN_TIME, "extra ground time"),
        (BY_RULE, "by the rule again"),
    )
    act_id = models.UUIDField(unique=True)
    unit = models.ForeignKey(
        "equipment.Unit", null=True, on_delete=models.PROTECT, related_name="+"
    )
    aircraft = models.ForeignKey(
        "fleet.Aircraft", null=True, on_delete=models.PROTECT, related_name="+"
    )
    position = models.ForeignKey(
        "fleet.AircraftPosition", null=True, on_delete=models.PROTECT, related_name="+"
    )
    programme = models.ForeignKey(Programme, on_delete=models.PROTECT, related_name="+")
    limit_code = models.CharField(max_length=40)
    start_on = models.DateField(null=True)
    sort = models.CharField(max_length=8, choices=SORTS)
    check_planned = models.ForeignKey(
        "fleet.Check", null=True, on_delete=models.PROTECT, related_name="+"
    )
    reason = models.CharField(max_length=200)
    placed_at = models.DateTimeField()
    placed_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(unit__isnull=False, aircraft__isnull=True, position__isnull=True)
                | Q(unit__isnull=True, aircraft__isnull=False, position__isnull=True)
                | Q(unit__isnull=True, aircraft__isnull=True, position__isnull=False),
                name="a_placement_is_of_one_subject",
            ),
            models.CheckConstraint(
                condition=Q(sort="check", check_planned__isnull=False)
                | Q(sort__in=("own", "rule"), check_planned__isnull=True),
                name="a_placement_at_a_check_names_it",
            ),
        ]
        indexes = [
            models.Index(fields=["unit", "limit_code"], name="placements_of_a_unit"),
        ]


class HangarCapacity(models.Model):
    """How much a station's hangar holds from a day on: aircraft at a time, and people there on a day (empty:
    nobody has said). Insert-only; of one day the latest counts, until the next day of which something is said."""

    act_id = models.UUIDField(unique=True)
    station = models.ForeignKey("fleet.Station", on_delete=models.PROTECT, related_name="+")
    from_on = models.DateField()
    slots = models.PositiveSmallIntegerField()
    people = models.PositiveSmallIntegerField(null=True)
    document = models.CharField(max_length=80, blank=True)
    stated_at = models.DateTimeField()
    stated_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")

    class Meta:
        indexes = [models.Index(fields=["station", "from_on"], name="capacity_of_a_hangar")]
