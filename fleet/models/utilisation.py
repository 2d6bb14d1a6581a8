from __future__ import annotations

from django.db import models
from django.db.models import F, Q


class Measure(models.Model):
    """What is counted: flight hours, flight cycles, fillings, hours of use. Measures are data.

    ``unit`` says how a total is stored: minutes for hours of any sort, else a plain count. The codes
    ``FLIGHT_HOURS`` and ``FLIGHT_CYCLES`` are those of the columns *Hours* and *Cycles* of sheets.
    """

    MINUTES, COUNT = "minutes", "count"
    FLIGHT_HOURS, FLIGHT_CYCLES = "FH", "FC"
    AIRCRAFT, EQUIPMENT = "aircraft", "unit"

    code = models.CharField(max_length=16, unique=True)
    name = models.CharField(max_length=40)
    unit = models.CharField(max_length=8, choices=((MINUTES, "minutes"), (COUNT, "count")))
    counted_on = models.CharField(
        max_length=8, choices=((AIRCRAFT, "the aircraft"), (EQUIPMENT, "the unit"))
    )
    counts = models.CharField(
        max_length=10,
        blank=True,
        choices=(("", "nothing by itself"), ("filling", "fillings"), ("inflation", "inflations")),
        default="",
        db_default="",
        help_text="What of a unit adds one to its total when it is recorded.",
    )

    def __str__(self) -> str:
        return self.name


class UtilisationReading(models.Model):
    """A total of one measure of one aircraft as read at an instant. Insert-only ledger.

    ``total`` is in minutes or a count. A correction names the reading it corrects. One that
    runs backwards is kept with ``is_conforming`` false and counted by nobody until corrected.
    """

    aircraft = models.ForeignKey(
        "fleet.Aircraft", on_delete=models.PROTECT, related_name="readings"
    )
    measure = models.ForeignKey(Measure, on_delete=models.PROTECT, related_name="+")
    read_at = models.DateTimeField(
        help_text="A date alone means the end of that day at the station."
    )
    is_date_only = models.BooleanField(default=True)
    total = models.BigIntegerField()
    source = models.CharField(max_length=80, blank=True)
    corrects = models.OneToOneField(
        "self",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="corrected_by",
    )
    is_annulment = models.BooleanField(
        default=False, help_text="The corrected reading is withdrawn, not replaced."
    )
    is_confirmed = models.BooleanField(
        default=False,
        db_default=False,
        help_text="Right, though far beyond the usual use: somebody looked.",
    )
    is_conforming = models.BooleanField(default=True)
    reasons = models.JSONField(default=list, blank=True)
    act_id = models.UUIDField(help_text="Made by the sender; the same act twice is one act.")
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        "fleet.User", null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(total__gte=0), name="a_reading_is_not_negative"),
            models.CheckConstraint(
                condition=Q(is_annulment=False) | Q(corrects__isnull=False),
                name="an_annulled_reading_is_named",
            ),
            models.CheckConstraint(
                condition=Q(corrects__isnull=True) | ~Q(corrects=F("id")),
                name="a_reading_does_not_correct_itself",
            ),
            models.UniqueConstraint(
                fields=["act_id", "measure"], name="one_reading_of_a_measure_per_act"
            ),
        ]
        indexes = [models.Index(fields=["aircraft", "measure", "read_at"], name="reading_by_time")]


class PlannedRate(models.Model):
    """The planner's figure for an aircraft's use per day from a day on, in thousandths of the unit."""

    aircraft = models.ForeignKey(
        "fleet.Aircraft", on_delete=models.PROTECT, related_name="planned_rates"
    )
    measure = models.ForeignKey(Measure, on_delete=models.PROTECT, related_name="+")
    from_on = models.DateField()
    per_day_milli = models.BigIntegerField(help_text="Minutes or counts per day, times 1000.")
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        "fleet.User", null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["aircraft", "measure", "from_on"],
                name="one_planned_rate_of_a_measure_from_a_day",
            ),
        ]
