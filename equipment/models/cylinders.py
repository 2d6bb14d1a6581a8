from __future__ import annotations

from django.db import models
from django.db.models import Q

from .units import PRECISIONS


class CylinderSpecification(models.Model):
    """What a specification (or special permit) asks of its cylinders, from its document. Insert-only.

    ``period_months`` empty: no periodic test. The test pressure is the service pressure times
    ``times_over`` / ``times_under`` (5/3, 2/1), at least ``least_test_psig``.
    """

    code = models.CharField(max_length=24, unique=True)
    document = models.CharField(max_length=80)
    period_months = models.PositiveSmallIntegerField(null=True, blank=True)
    times_over = models.PositiveSmallIntegerField(null=True, blank=True)
    times_under = models.PositiveSmallIntegerField(null=True, blank=True)
    least_test_psig = models.DecimalField(max_digits=8, decimal_places=1, null=True, blank=True)
    most_permanent_percent = models.DecimalField(max_digits=5, decimal_places=2, default=10)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        "fleet.User", null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(times_over=None, times_under=None)
                | Q(times_over__gte=1, times_under__gte=1),
                name="a_test_pressure_is_a_share_of_the_service_pressure",
            )
        ]

    def __str__(self) -> str:
        return self.code


class CylinderDesign(models.Model):
    """A part number is a cylinder of a specification, with its service pressure and its size."""

    part_number = models.OneToOneField(
        "equipment.PartNumber", on_delete=models.PROTECT, related_name="cylinder"
    )
    specification = models.ForeignKey(
        CylinderSpecification, on_delete=models.PROTECT, related_name="+"
    )
    service_psig = models.DecimalField(max_digits=8, decimal_places=1)
    diameter_mm = models.DecimalField(max_digits=7, decimal_places=1, null=True, blank=True)
    length_mm = models.DecimalField(max_digits=7, decimal_places=1, null=True, blank=True)


class Requalification(models.Model):
    """A cylinder was requalified, or condemned: what 49 CFR 180.215(b)(2) asks a record to hold. Insert-only."""

    VERDICTS = (("in", "requalified"), ("out", "condemned"))
    act_id = models.UUIDField(unique=True)
    unit = models.ForeignKey(
        "equipment.Unit", on_delete=models.PROTECT, related_name="requalifications"
    )
    marking = models.CharField(max_length=40, help_text="As stamped.")
    requalifier = models.CharField(max_length=4)
    done_on = models.DateField(help_text="First day of the month stamped.")
    precision = models.CharField(max_length=8, choices=PRECISIONS, default="month")
    method = models.CharField(max_length=24)
    specification = models.CharField(max_length=24)
    service_psig = models.DecimalField(max_digits=8, decimal_places=1)
    is_sound = models.BooleanField(help_text="By the visual inspection.")
    test_psig = models.DecimalField(max_digits=9, decimal_places=2, null=True, blank=True)
    total_ml = models.DecimalField(max_digits=9, decimal_places=3, null=True, blank=True)
    permanent_ml = models.DecimalField(max_digits=9, decimal_places=3, null=True, blank=True)
    verdict = models.CharField(max_length=4, choices=VERDICTS)
    sentence = models.CharField(max_length=200)
    operator = models.CharField(max_length=80, help_text="Who did the test.")
    document = models.CharField(max_length=80, blank=True)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        "fleet.User", null=True, on_delete=models.PROTECT, related_name="+"
    )


class CylinderMarking(models.Model):
    """What somebody read on one cylinder: its own specification, whatever its part number says. Insert-only;
    of several the one read last counts.

    ``marks`` are ``+``, ``★`` and ``E`` in this order; ``requalifier`` is the number of whoever tested it last.
    """

    act_id = models.UUIDField(unique=True)
    unit = models.ForeignKey("equipment.Unit", on_delete=models.PROTECT, related_name="markings")
    specification = models.CharField(max_length=24, help_text="As stamped: 3AA, SP 8162.")
    service_psig = models.DecimalField(max_digits=8, decimal_places=1, null=True, blank=True)
    test_psig = models.DecimalField(max_digits=9, decimal_places=2, null=True, blank=True)
    marks = models.CharField(max_length=8, blank=True)
    requalifier = models.CharField(max_length=4, blank=True)
    read_on = models.DateField()
    document = models.CharField(max_length=80, blank=True)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        "fleet.User", null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=~Q(specification=""), name="a_cylinder_is_stamped_with_a_specification"
            )
        ]
