from __future__ import annotations

from django.db import models
from django.db.models import Q

from equipment.models.units import PRECISIONS

from .limits import Limit, Work


class WorkDone(models.Model):
    """The record that a work was done on a unit, an aircraft or a position. Insert-only.

    Totals are the unit's (or aircraft's) own at the work, in minutes and counts, where recorded.
    ``original_due_on`` and the totals beside it say when it was due, where it was done inside a
    permitted variation; what is blank is reckoned from the works before it.
    """

    work = models.ForeignKey(Work, on_delete=models.PROTECT, related_name="+")
    unit = models.ForeignKey(
        "equipment.Unit",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="works",
    )
    aircraft = models.ForeignKey(
        "fleet.Aircraft",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="works",
    )
    position = models.ForeignKey(
        "fleet.AircraftPosition",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="works",
    )
    limit_code = models.CharField(
        max_length=40,
        blank=True,
        help_text="Only this limit's; empty: all that it resets.",
    )
    done_on = models.DateField(help_text="First day of the month if only that is known.")
    precision = models.CharField(max_length=8, choices=PRECISIONS, default="day")
    released_on = models.DateField(
        null=True, blank=True, help_text="Of the aircraft's release to service."
    )
    shop_released_on = models.DateField(null=True, blank=True)
    original_due_on = models.DateField(null=True, blank=True)
    original_due_minutes = models.BigIntegerField(null=True, blank=True)
    original_due_cycles = models.BigIntegerField(null=True, blank=True)
    method = models.CharField(max_length=24, blank=True)
    total_minutes = models.BigIntegerField(null=True, blank=True)
    total_cycles = models.BigIntegerField(null=True, blank=True)
    result = models.CharField(
        max_length=10,
        choices=(("passed", "passed"), ("failed", "failed")),
        default="passed",
    )
    who = models.CharField(max_length=80, blank=True)
    document = models.CharField(max_length=80, blank=True)
    certificate = models.CharField(max_length=40, blank=True)
    authorisation = models.CharField(
        max_length=40,
        blank=True,
        default="",
        db_default="",
        help_text="Under which it was done: a licence's number, or an organisation's approval.",
    )
    corrects = models.OneToOneField(
        "self",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="corrected_by",
    )
    is_annulment = models.BooleanField(default=False)
    act_id = models.UUIDField(unique=True)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        "fleet.User", null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(unit__isnull=False, aircraft__isnull=True, position__isnull=True)
                | Q(unit__isnull=True, aircraft__isnull=False, position__isnull=True)
                | Q(unit__isnull=True, aircraft__isnull=True, position__isnull=False),
                name="a_work_is_done_on_one_subject",
            ),
            models.CheckConstraint(
                condition=Q(result__in=["passed", "failed"]), name="a_work_passed_or_failed"
            ),
        ]
        indexes = [
            models.Index(fields=["unit", "work", "done_on"], name="work_on_unit"),
            models.Index(
                fields=["aircraft", "work"],
                condition=Q(aircraft__isnull=False),
                name="work_on_aircraft",
            ),
            models.Index(
                fields=["position", "work"],
                condition=Q(position__isnull=False),
                name="work_on_position",
            ),
            # Few fail, and what failed is asked at every release and of every list.
            models.Index(fields=["unit"], condition=Q(result="failed"), name="work_that_failed"),
        ]


class Disposition(models.Model):
    """Of one unit for one paragraph of a directive, from a day on. Insert-only; the latest holds."""

    SORTS = (
        ("not_applicable", "not applicable"),
        ("open", "open"),
        ("complied", "complied"),
        ("terminated", "terminated"),
        ("alternative", "alternative means"),
    )
    limit = models.ForeignKey(Limit, on_delete=models.PROTECT, related_name="dispositions")
    unit = models.ForeignKey(
        "equipment.Unit", on_delete=models.PROTECT, related_name="dispositions"
    )
    sort = models.CharField(max_length=16, choices=SORTS)
    on = models.DateField()
    reason = models.CharField(
        max_length=200, blank=True, help_text="Why not applicable, or how complied."
    )
    document = models.CharField(max_length=80, blank=True)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        "fleet.User", null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["limit", "unit", "on"], name="one_disposition_of_a_unit_per_day"
            )
        ]


class Extension(models.Model):
    """An approved, numbered, one-time allowance on one limit of one subject. Insert-only.

    It holds for the interval that runs at ``granted_on``: a later work ends it.
    """

    limit_code = models.CharField(max_length=40)
    programme = models.ForeignKey(
        "scheduling.Programme", on_delete=models.PROTECT, related_name="+"
    )
    unit = models.ForeignKey(
        "equipment.Unit",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="extensions",
    )
    aircraft = models.ForeignKey(
        "fleet.Aircraft",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
    )
    position = models.ForeignKey(
        "fleet.AircraftPosition",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
    )
    number = models.CharField(max_length=40, unique=True)
    granted_on = models.DateField()
    days = models.PositiveIntegerField(default=0)
    minutes = models.BigIntegerField(default=0)
    count = models.BigIntegerField(default=0)
    document = models.CharField(max_length=80)
    approved_by = models.CharField(max_length=80)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        "fleet.User", null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(days__gt=0) | Q(minutes__gt=0) | Q(count__gt=0),
                name="an_extension_extends_something",
            ),
            models.CheckConstraint(
                condition=Q(unit__isnull=False, aircraft__isnull=True, position__isnull=True)
                | Q(unit__isnull=True, aircraft__isnull=False, position__isnull=True)
                | Q(unit__isnull=True, aircraft__isnull=True, position__isnull=False),
                name="an_extension_is_of_one_subject",
            ),
        ]
