from __future__ import annotations

from django.contrib.postgres.fields import ArrayField
from django.db import models
from django.db.models import Q

from . import choices

#: The longest word that a column of words holds.
WORD = 24


class Programme(models.Model):
    """An operator's maintenance programme, at a revision. It holds the limits.

    Units not on an aircraft are reckoned by the programmes that ``govern_spares``.
    """

    code = models.CharField(max_length=24, unique=True)
    name = models.CharField(max_length=80)
    operator = models.CharField(max_length=80, blank=True)
    revision = models.CharField(max_length=24)
    govern_spares = models.BooleanField(default=False)
    facts_stamp = models.BigIntegerField(default=0)

    def __str__(self) -> str:
        return self.code


class ProgrammeOfAircraft(models.Model):
    """From this day the aircraft follows this programme."""

    aircraft = models.ForeignKey(
        "fleet.Aircraft", on_delete=models.PROTECT, related_name="programmes"
    )
    programme = models.ForeignKey(Programme, on_delete=models.PROTECT, related_name="+")
    from_on = models.DateField()
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        "fleet.User", null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["aircraft", "from_on"],
                name="one_programme_of_an_aircraft_from_a_day",
            )
        ]


class Work(models.Model):
    """A kind of work that limits ask for: overhaul, hydrostatic test, battery replacement, weighing."""

    code = models.CharField(max_length=24, unique=True)
    name = models.CharField(max_length=60)
    is_done_in_place = models.BooleanField(
        default=False, help_text="Done with the unit where it is fitted: nothing comes off for it."
    )
    certified_by = ArrayField(
        models.CharField(max_length=40),
        default=list,
        blank=True,
        help_text="Terms of a certificate's status block that certify it, by the operator's data.",
    )

    def __str__(self) -> str:
        return self.name


class Limit(models.Model):
    """A rule of a programme: this work falls due on these subjects by these clocks.

    Which subjects: by kind and/or part numbers, modification standards, serial list, manufacture
    dates, positions, MSN; each empty list means all. A revision of a limit is a new row with the
    same code and a later ``from_on``; the one in force on the day holds. A directive is a limit
    that an authority or maker imposes (``is_directive``), with dispositions per unit.
    """

    UNIT, POSITION, AIRCRAFT, POPULATION = "unit", "position", "aircraft", "population"
    programme = models.ForeignKey(Programme, on_delete=models.PROTECT, related_name="limits")
    code = models.CharField(max_length=40)
    revision = models.CharField(max_length=24)
    title = models.CharField(max_length=120)
    work = models.ForeignKey(Work, on_delete=models.PROTECT, related_name="limits")
    subject = models.CharField(max_length=WORD, choices=choices.subjects, default=UNIT)
    document = models.CharField(max_length=80)
    document_revision = models.CharField(max_length=24)
    from_on = models.DateField(null=True, blank=True, help_text="In force from; empty: always was.")
    until_on = models.DateField(null=True, blank=True, help_text="The last day in force.")
    when = models.CharField(max_length=WORD, choices=choices.whens, default="first")
    is_directive = models.BooleanField(default=False)
    paragraph = models.CharField(max_length=24, blank=True)
    # applies to
    kind = models.ForeignKey(
        "fleet.Kind", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    part_numbers = models.ManyToManyField("equipment.PartNumber", blank=True, related_name="+")
    standards = models.JSONField(default=list, blank=True)
    serials = models.JSONField(
        default=list, blank=True, help_text="Serial numbers or ranges [from, to]."
    )
    manufactured_from = models.DateField(null=True, blank=True)
    manufactured_to = models.DateField(null=True, blank=True)
    positions = models.JSONField(
        default=list, blank=True, help_text="Position codes of the layout."
    )
    msns = models.JSONField(default=list, blank=True, help_text="MSNs or ranges [from, to].")
    quota = models.PositiveIntegerField(
        null=True, blank=True, help_text="Of a population: how many."
    )
    # tolerance
    variation_days = models.PositiveIntegerField(default=0)
    variation_percent = models.DecimalField(max_digits=5, decimal_places=2, default=0)
    variation_days_most = models.PositiveIntegerField(
        null=True, blank=True, help_text="Caps the percentage."
    )
    variation_minutes = models.BigIntegerField(default=0)
    variation_count = models.BigIntegerField(default=0)
    next_from_original_due = models.BooleanField(
        default=False,
        help_text="Work done inside the variation counts from the original due date.",
    )
    is_extendable = models.BooleanField(default=False)
    extension_days_most = models.PositiveIntegerField(null=True, blank=True)
    extension_minutes_most = models.BigIntegerField(null=True, blank=True)
    extension_count_most = models.BigIntegerField(null=True, blank=True)
    # who entered it, and why
    reason = models.CharField(
        max_length=200, blank=True, default="", db_default="", help_text="Why it was revised."
    )
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        "fleet.User", null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["programme", "code", "revision"], name="one_revision_of_a_limit"
            ),
            models.CheckConstraint(
                condition=~Q(subject="population") | Q(quota__isnull=False),
                name="a_population_has_a_quota",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.code} rev {self.revision}"


class LimitReset(models.Model):
    """Another work that also restarts this limit: a recharge restarts six-year maintenance."""

    limit = models.ForeignKey(Limit, on_delete=models.CASCADE, related_name="resets")
    work = models.ForeignKey(Work, on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["limit", "work"], name="one_reset_of_a_limit_by_a_work")
        ]


class Clock(models.Model):
    """One line of a limit: so much of one measure, from one start. See scheduling.engine.basis.limits."""

    limit = models.ForeignKey(Limit, on_delete=models.CASCADE, related_name="clocks")
    seq = models.PositiveSmallIntegerField()
    counts_from = models.CharField(max_length=WORD, choices=choices.starts)
    first_from = models.CharField(
        max_length=WORD, choices=choices.starts, blank=True, help_text="When it was never done."
    )
    given_on = models.DateField(null=True, blank=True)
    anchor = models.CharField(max_length=WORD, choices=choices.anchors, default="release")
    runs = models.CharField(max_length=WORD, choices=choices.runs, default="always")
    store_ratio_percent = models.PositiveSmallIntegerField(null=True, blank=True)
    store_cap_months = models.PositiveSmallIntegerField(null=True, blank=True)
    store_cap_each = models.BooleanField(default=False, help_text="Each time in store; else once.")
    store_before_first_fitting = models.BooleanField(default=False)
    measure = models.CharField(max_length=16, help_text="months, days, or the code of a measure.")
    rounds = models.CharField(max_length=WORD, choices=choices.rounds, default="day")
    month_only_stamp = models.CharField(max_length=WORD, choices=choices.stamps, default="end")
    compares = models.CharField(max_length=WORD, choices=choices.compares, default="after")
    never_later_on = models.DateField(null=True, blank=True)
    never_later_months = models.PositiveIntegerField(
        null=True, blank=True, help_text="From manufacture."
    )
    never_later_total = models.PositiveBigIntegerField(
        null=True, blank=True, help_text="Of its measure since new, in minutes or a count."
    )
    runs_out = models.CharField(max_length=WORD, choices=choices.runs_out, default="may_not_fly")

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["limit", "seq"], name="one_clock_of_this_order_in_a_limit"
            ),
            models.CheckConstraint(
                condition=~Q(counts_from="given_date") | Q(given_on__isnull=False),
                name="a_given_date_is_given",
            ),
        ]


class Amount(models.Model):
    """How much a clock allows, chosen by the first row that matches. Minutes, counts, months or days."""

    clock = models.ForeignKey(Clock, on_delete=models.CASCADE, related_name="amounts")
    seq = models.PositiveSmallIntegerField()
    value = models.BigIntegerField(null=True, blank=True)
    share_percent = models.DecimalField(
        max_digits=6,
        decimal_places=3,
        null=True,
        blank=True,
        help_text="Of the stated life.",
    )
    when = models.CharField(max_length=WORD, choices=choices.turns, default="any")
    age_from_months = models.PositiveIntegerField(null=True, blank=True)
    age_basis = models.CharField(max_length=WORD, choices=choices.ages, default="at_work")
    method = models.CharField(max_length=24, blank=True, help_text="Of the last work.")
    standard = models.CharField(max_length=24, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["clock", "seq"], name="one_amount_of_this_order_in_a_clock"
            ),
            models.CheckConstraint(
                condition=Q(value__isnull=False, share_percent__isnull=True)
                | Q(value__isnull=True, share_percent__isnull=False),
                name="an_amount_is_a_number_or_a_share",
            ),
        ]
