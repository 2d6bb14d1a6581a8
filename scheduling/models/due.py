from __future__ import annotations

from django.contrib.postgres.fields import ArrayField
from django.db import models
from django.db.models import F, Q


class DueItemQuerySet(models.QuerySet["DueItem"]):
    """Reads of due items by name."""

    def stale(self) -> DueItemQuerySet:
        """Items reckoned from facts that have changed since: one of the three stamps differs."""
        owners = {
            "unit_stamp": "unit__facts_stamp",
            "aircraft_stamp": "aircraft__facts_stamp",
            "programme_stamp": "limit__programme__facts_stamp",
        }
        differs = Q()
        for kept, now in owners.items():  # greater or less: an item without an owner is neither
            differs |= Q(**{f"{now}__gt": F(kept)}) | Q(**{f"{now}__lt": F(kept)})
        return self.filter(differs)


class DueItem(models.Model):
    """Computed: one subject under one limit, reckoned as of a day. Never typed, always rebuildable.

    The key is made of the subject and the limit (``scheduling.facts.due_table``), so that an item
    keeps its address when it is reckoned again and cannot be there twice. ``position`` is the
    subject itself, or of a unit the aircraft position that its outermost unit is in. The three
    stamps are those of the facts it was reckoned from; an item whose stamps differ from the current
    ones is stale and shown so. ``band`` is the place in ``scheduling.due.lists.rows.BANDS``; ``band`` then
    ``sort_on`` is the order of urgency.
    """

    id = models.BigIntegerField(primary_key=True, help_text="Of its subject and limit.")
    # Rebuildable in full and written a million rows at a time: the database does not check each key.
    limit = models.ForeignKey(
        "scheduling.Limit",
        on_delete=models.CASCADE,
        related_name="+",
        db_index=False,
        db_constraint=False,
    )
    unit = models.ForeignKey(
        "equipment.Unit",
        null=True,
        on_delete=models.CASCADE,
        related_name="due_items",
        db_index=False,
        db_constraint=False,
    )
    position = models.ForeignKey(
        "fleet.AircraftPosition",
        null=True,
        on_delete=models.CASCADE,
        related_name="+",
        db_index=False,
        db_constraint=False,
    )
    aircraft = models.ForeignKey(
        "fleet.Aircraft",
        null=True,
        on_delete=models.CASCADE,
        related_name="due_items",
        db_index=False,
        db_constraint=False,
    )
    line_unit = models.ForeignKey(
        "equipment.Unit",
        null=True,
        on_delete=models.CASCADE,
        related_name="+",
        db_index=False,
        db_constraint=False,
    )
    # what it is filtered by
    station = models.ForeignKey(
        "fleet.Station",
        null=True,
        on_delete=models.CASCADE,
        related_name="+",
        db_index=False,
        db_constraint=False,
    )
    kind = models.ForeignKey(
        "fleet.Kind",
        null=True,
        on_delete=models.CASCADE,
        related_name="+",
        db_index=False,
        db_constraint=False,
    )
    part_number = models.ForeignKey(
        "equipment.PartNumber",
        null=True,
        on_delete=models.CASCADE,
        related_name="+",
        db_index=False,
        db_constraint=False,
    )
    work = models.ForeignKey(
        "scheduling.Work",
        on_delete=models.CASCADE,
        related_name="+",
        db_index=False,
        db_constraint=False,
    )
    # the answer
    as_of = models.DateField()
    band = models.SmallIntegerField()
    sort_on = models.DateField(help_text="The due or worst date; far future where there is none.")
    due_on = models.DateField(null=True)
    until_on = models.DateField(null=True, help_text="The last day inside the variation.")
    due_on_projected = models.BooleanField(default=False)
    due_at_minutes = models.BigIntegerField(null=True)
    due_at_cycles = models.BigIntegerField(null=True)
    due_at_other = models.BigIntegerField(null=True)
    left_minutes = models.BigIntegerField(null=True)
    left_cycles = models.BigIntegerField(null=True)
    left_other = models.BigIntegerField(null=True)
    start_on = models.DateField(null=True)
    decided_by = models.SmallIntegerField(null=True, help_text="The seq of the clock that won.")
    missing = models.IntegerField(
        default=0, help_text="A set of missing facts, see scheduling.engine."
    )
    worst_on = models.DateField(null=True)
    flags = models.SmallIntegerField(
        default=0, help_text="Within variation, extended, may not refill..."
    )
    check_planned = models.ForeignKey(
        "fleet.Check",
        null=True,
        on_delete=models.SET_NULL,
        related_name="+",
        db_index=False,
        db_constraint=False,
    )
    rule_from_on = models.DateField(
        null=True, help_text="From when its rule is in force, where that is a day to come."
    )
    unit_stamp = models.BigIntegerField(default=0)
    aircraft_stamp = models.BigIntegerField(default=0)
    programme_stamp = models.BigIntegerField(default=0)

    objects = DueItemQuerySet.as_manager()

    class Meta:
        # Every list is "the most urgent of these": one index for each thing it is narrowed by.
        indexes = [
            models.Index(fields=["band", "sort_on", "id"], name="due_by_urgency"),
            models.Index(fields=["sort_on", "id"], name="due_by_date"),
            *(
                models.Index(fields=[what, "band", "sort_on", "id"], name=f"due_of_{what}")
                for what in ("aircraft", "station", "kind", "part_number", "work")
            ),
            # Few ground their aircraft, however many items there are.
            models.Index(
                fields=["band", "sort_on", "id"],
                include=["aircraft", "station", "kind", "part_number", "work"],
                condition=Q(flags__gte=1 << 14),
                name="due_grounding_of",
            ),
            # How many of them there are of some works or kinds, without a look at all of them.
            models.Index(
                fields=["kind", "work", "station", "band"],
                condition=Q(flags__gte=1 << 14),
                name="due_grounding_counted",
            ),
            # Counted by any of these together, out of the index alone: of a condition that is not
            # given the index is entered once for each value that there is, and those are few.
            models.Index(
                fields=["band", "station", "kind", "work", "part_number", "sort_on"],
                name="due_counted",
            ),
        ]

    def __str__(self) -> str:
        return f"due item {self.pk}"


class RecomputeRun(models.Model):
    """One bulk reckoning: a row first, so that a killed job is finished by the next one.

    ``unit_ids`` null means every unit; else only these (whose reckoning failed inside a record).
    The stored list holds for the day of the latest finished run over every unit.
    """

    as_of = models.DateField()
    why = models.CharField(max_length=80)
    asked_at = models.DateTimeField()
    started_at = models.DateTimeField(null=True, blank=True)
    finished_at = models.DateTimeField(null=True, blank=True)
    unit_ids = ArrayField(models.BigIntegerField(), null=True, blank=True)
    next_unit_id = models.BigIntegerField(default=0, help_text="Chunks below this are done.")
    items = models.BigIntegerField(default=0)
    fault = models.TextField(blank=True)
    kept_on = models.DateField(null=True, help_text="The day whose list was kept before it began.")
    kept_at = models.DateTimeField(null=True, help_text="When that list was kept.")

    def __str__(self) -> str:
        return f"recomputing as of {self.as_of} ({self.why})"
