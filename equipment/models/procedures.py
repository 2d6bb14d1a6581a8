from __future__ import annotations

from django.contrib.postgres.fields import ArrayField
from django.db import models
from django.db.models import F, Q

from equipment.judging.sorts.table import CHOICES


def sorts_of_step() -> tuple[tuple[str, str], ...]:
    """Code and words of every sort of step. Asked by name in the migrations, so that a sort more is none."""
    return CHOICES


class RuleSet(models.Model):
    """The operator's rules of signing, from a day on. Insert-only: a change is a later row.

    Those of one ``aircraft`` (leased in under another authority's rules, say) go before those of a
    maintenance ``programme``, these before the house's, which name neither.
    The statements are printed beside the signature exactly as they stand here.
    """

    code = models.CharField(max_length=24)
    revision = models.CharField(max_length=24)
    document = models.CharField(max_length=80)
    from_on = models.DateField()
    programme = models.CharField(
        max_length=32, blank=True, help_text="Code: only for aircraft that follow it."
    )
    aircraft = models.ForeignKey(
        "fleet.Aircraft",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
        help_text="Only for it.",
    )
    may_reinspect = models.BooleanField(
        default=False,
        help_text="Whether one person may inspect the own work again in unforeseen circumstances.",
    )
    warns_same_mistake = models.BooleanField(
        default=True,
        help_text="Warn a person who changes the same kind of unit at two doors in one visit.",
    )
    needs_dual_release = models.BooleanField(
        default=False,
        help_text="Whether a unit that goes on needs a certificate of both authorities' rules.",
    )
    step_statement = models.CharField(max_length=400)
    inspection_statement = models.CharField(max_length=400)
    reinspection_statement = models.CharField(max_length=400, blank=True)
    release_statement = models.CharField(max_length=600)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        "fleet.User", null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["from_on", "programme", "aircraft"],
                name="one_rule_set_from_a_day",
                nulls_distinct=False,
            ),
            models.UniqueConstraint(fields=["code", "revision"], name="one_rule_set_revision"),
        ]

    def __str__(self) -> str:
        return f"{self.code} revision {self.revision}"


class StepList(models.Model):
    """The steps of a change for a kind of position, or one part number there; or of a work done in place
    there. Insert-only.

    A revision is a new list of the same ``code``; an open swap keeps the one it began with.
    """

    code = models.CharField(max_length=32)
    revision = models.CharField(max_length=24)
    title = models.CharField(max_length=120)
    kind = models.ForeignKey("fleet.Kind", on_delete=models.PROTECT, related_name="+")
    part_number = models.ForeignKey(
        "equipment.PartNumber",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
        help_text="Only for units of this part number; empty: any of the kind.",
    )
    for_work = models.CharField(
        max_length=32,
        blank=True,
        help_text="Code of the work done in place by it; empty: a change.",
    )
    document = models.CharField(max_length=80)
    document_revision = models.CharField(max_length=24)
    from_on = models.DateField()
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        "fleet.User", null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["code", "revision"], name="one_step_list_of_this_code_and_revision"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.title} ({self.document} {self.document_revision})"


class Step(models.Model):
    """One step: what is done, how it is judged, who else must look. Insert-only.

    ``rule`` is judged by ``equipment.judging``, its shape by ``sort``. ``posts`` is what the step
    records in the ledger when it happens. ``returns`` names the step whose pins, locks and tools
    must be back here. ``covers`` names the steps that can no longer be seen once this one is done: it
    waits for their inspection. ``earns`` is the code of the work that the released job counts as.
    """

    PHASES = (
        ("make_safe", "Make safe"),
        ("remove", "Remove"),
        ("inspect", "Inspect before fitting"),
        ("install", "Install"),
        ("test", "Test"),
        ("restore", "Restore"),
    )
    SORTS = CHOICES
    POSTS = (("", "nothing"), ("removal", "the removal"), ("installation", "the installation"))

    step_list = models.ForeignKey(StepList, on_delete=models.PROTECT, related_name="steps")
    number = models.PositiveSmallIntegerField()
    phase = models.CharField(max_length=10, choices=PHASES)
    sort = models.CharField(max_length=24, choices=sorts_of_step)
    words = models.CharField(max_length=300)
    caution = models.CharField(
        max_length=300, blank=True, help_text="Shown where the danger is, in the step itself."
    )
    document = models.CharField(max_length=80, blank=True, help_text="Where it is not the list's.")
    is_needed = models.BooleanField(default=True)
    is_inspected = models.BooleanField(
        default=False, help_text="A second person inspects it independently."
    )
    rule = models.JSONField(default=dict, blank=True)
    posts = models.CharField(max_length=12, choices=POSTS, blank=True, default="")
    returns = models.PositiveSmallIntegerField(null=True, blank=True)
    earns = models.CharField(max_length=32, blank=True)
    covers = ArrayField(models.PositiveSmallIntegerField(), default=list, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["step_list", "number"], name="one_step_of_this_number_in_a_list"
            ),
            models.CheckConstraint(
                condition=Q(returns__isnull=True) | Q(returns__lt=F("number")),
                name="what_is_returned_was_fitted_before",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.number} {self.words}"


class BottleChart(models.Model):
    """The pressure that a bottle should show at a temperature, from its own data. Insert-only.

    ``points`` are [temperature °F, least, most], by temperature, the pressures in ``unit`` as a gauge
    shows them; null for most where only a least is laid down. Between them it is linear, beyond them
    nothing is said. ``charge_psig`` is its nominal charge at ``charge_at_f``.
    """

    GASES = (
        ("nitrogen", "nitrogen"),
        ("oxygen", "oxygen"),
        ("air", "air"),
        ("helium", "helium"),
        ("co2_n2_10", "10 % carbon dioxide in nitrogen"),
        ("co2_n2_20", "20 % carbon dioxide in nitrogen"),
        ("co2_n2_30", "30 % carbon dioxide in nitrogen"),
        ("other", "another charge (chart only)"),
    )
    UNITS = (("psi", "psi"), ("bar", "bar"), ("kPa", "kPa"), ("MPa", "MPa"))
    part_number = models.ForeignKey(
        "equipment.PartNumber", on_delete=models.PROTECT, related_name="charts"
    )
    revision = models.CharField(max_length=24)
    gas = models.CharField(max_length=12, choices=GASES)
    charge_psig = models.FloatField()
    charge_at_f = models.FloatField(default=70)
    unit = models.CharField(max_length=4, choices=UNITS, default="psi")
    points = models.JSONField()
    document = models.CharField(max_length=80)
    from_on = models.DateField()
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        "fleet.User", null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["part_number", "revision"], name="one_chart_of_this_part_and_revision"
            ),
        ]


class Tool(models.Model):
    """A wrench, meter or gauge with a record of its own."""

    SORTS = (
        ("wrench", "torque wrench"),
        ("ohmmeter", "bonding meter"),
        ("gauge", "pressure gauge"),
        ("thermometer", "thermometer"),
        ("scale", "scale"),
        ("timer", "timer"),
        ("lightmeter", "light meter"),
        ("flowmeter", "flow meter"),
        ("forcegauge", "force gauge"),
        ("insulation", "insulation tester"),
        ("other", "other"),
    )
    code = models.CharField(max_length=24, unique=True)
    sort = models.CharField(max_length=12, choices=SORTS)
    description = models.CharField(max_length=80)
    serial_number = models.CharField(max_length=40, blank=True)
    station = models.ForeignKey(
        "fleet.Station", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    length_mm = models.FloatField(
        null=True, blank=True, help_text="Of a wrench: from the square to the middle of the grip."
    )
    measures = models.CharField(
        max_length=60, blank=True, help_text="The least and most that it can show, with their unit."
    )
    at_least_yearly = models.BooleanField(
        default=False, help_text="No calibration is good for more than a year, whatever it says."
    )
    recorded_at = models.DateTimeField()

    def __str__(self) -> str:
        return self.code


class Calibration(models.Model):
    """A tool was calibrated, found out of tolerance, or dropped: what its values rest on. Insert-only."""

    SORTS = (
        ("calibrated", "calibrated"),
        ("found_out", "found out of tolerance"),
        ("dropped", "dropped or abused"),
    )
    tool = models.ForeignKey(Tool, on_delete=models.PROTECT, related_name="calibrations")
    sort = models.CharField(max_length=12, choices=SORTS, default="calibrated")
    done_on = models.DateField()
    due_on = models.DateField(null=True, blank=True, help_text="The last day it is good for.")
    certificate = models.CharField(max_length=80, blank=True)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        "fleet.User", null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["tool", "sort", "done_on"], name="one_calibration_of_a_tool_on_a_day"
            ),
            models.CheckConstraint(
                condition=~Q(sort="calibrated") | Q(due_on__gte=F("done_on")),
                name="a_calibration_says_until_when",
            ),
        ]
