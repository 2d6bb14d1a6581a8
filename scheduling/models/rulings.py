from __future__ import annotations

from typing import Any

from django.db import models


def plain_key(to: str, **more: Any) -> models.ForeignKey[Any, Any]:
    """A key of a row that is rebuildable in full: the database does not check it."""
    return models.ForeignKey(
        to, on_delete=models.CASCADE, related_name="+", db_constraint=False, db_index=False, **more
    )


class ProposalRun(models.Model):
    """One proposal for the whole fleet, computed and kept whole: the latest one counts.

    ``stamp`` tells the facts that it was made from (``scheduling.allocation.facts.stamps``): while it differs
    from the present one the proposal is shown as stale. ``left_out`` counts removals that have no day.
    """

    as_of = models.DateField()
    until_on = models.DateField(help_text="The last day of the horizon.")
    made_at = models.DateTimeField()
    stamp = models.CharField(max_length=64)
    took_ms = models.PositiveIntegerField(default=0)
    needs = models.PositiveIntegerField(default=0)
    short = models.PositiveIntegerField(default=0)
    left_out = models.JSONField(default=dict)
    ways = models.JSONField(default=list)
    locked = models.JSONField(default=list)
    forbidden = models.JSONField(default=list)
    months = models.JSONField(default=list, help_text="Of each family, month by month.")


class ProposedNeed(models.Model):
    """A planned removal with the unit proposed for it, as of its run. Never typed, always rebuildable.

    ``group`` numbers what hangs together by possible pairs: a change reaches no other group.
    ``facts`` is the need as the matching takes it.
    """

    run = models.ForeignKey(ProposalRun, on_delete=models.CASCADE, related_name="proposed")
    key = models.CharField(max_length=120)
    place = plain_key("equipment.Place")
    unit_off = plain_key("equipment.Unit")
    aircraft = plain_key("fleet.Aircraft")
    check_planned = plain_key("fleet.Check", null=True)
    family = models.CharField(max_length=200)
    kind = models.CharField(max_length=24)
    on = models.DateField()
    station = models.CharField(max_length=8)
    registration = models.CharField(max_length=10)
    position = models.CharField(max_length=80)
    off_words = models.CharField(max_length=120)
    check_name = models.CharField(max_length=40, blank=True)
    works = models.JSONField(default=list, help_text="Names of the works that make it come off.")
    unit = plain_key("equipment.Unit", null=True, help_text="Null: short.")
    unit_words = models.CharField(max_length=120, blank=True)
    cost = models.BigIntegerField(default=0)
    group = models.IntegerField()
    # What comes off goes to the shop and is back on this day; null where it ends its life.
    back_on = models.DateField(null=True)
    off_part = models.CharField(max_length=60)
    latest_on = models.DateField(help_text="The last day to which the work may move.")
    pieces = models.PositiveIntegerField(default=1, help_text="Of a lot: how many come off.")
    piece = models.PositiveIntegerField(
        default=0, help_text="Which of several that come off, each a need of its own; 0: one need."
    )
    facts = models.JSONField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["run", "key"], name="one_need_of_a_name_in_a_proposal")
        ]
        indexes = [
            models.Index(fields=["run", "on", "key"], name="needs_by_day"),
            models.Index(fields=["run", "group"], name="needs_of_a_group"),
        ]

    @property
    def off(self) -> str:
        """What comes off, as addresses name it: the unit, and which of its pieces."""
        return f"{self.unit_off_id}-{self.piece}" if self.piece else str(self.unit_off_id)

    @property
    def came(self) -> tuple[int, int]:
        """The removal and which of its pieces."""
        return self.unit_off_id, self.piece


class OfferedUnit(models.Model):
    """A unit that may cover needs, as of its run: in a store, at the shop, or released by a removal. A lot is one row
    for each need that it may serve, by its ``key``, with as many ``pieces``."""

    run = models.ForeignKey(ProposalRun, on_delete=models.CASCADE, related_name="offered")
    unit = plain_key("equipment.Unit")
    key = models.CharField(max_length=40)
    pieces = models.PositiveIntegerField(default=1)
    part = models.CharField(max_length=60)
    words = models.CharField(max_length=120)
    kind = models.CharField(max_length=24)
    station = models.CharField(max_length=8)
    source = models.CharField(max_length=8)
    group = models.IntegerField()
    for_key = models.CharField(max_length=120, blank=True, help_text="The need it is proposed for.")
    #: What the stores say against it, code and sentence: beside the matching's own reasons.
    said = models.JSONField(default=list)
    facts = models.JSONField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["run", "key"], name="one_offer_of_a_unit_or_its_pieces")
        ]
        indexes = [
            models.Index(fields=["run", "unit"], name="offers_of_a_unit"),
            models.Index(fields=["run", "part"], name="offers_by_part"),
            models.Index(fields=["run", "group"], name="offers_of_a_group"),
        ]


class PairingRuling(models.Model):
    """A person decided about a need and a unit: accepted, locked, forbidden, or taken back. Insert-only.

    The need is a removal: ``unit_off`` from ``place``. Of a pair the latest lock, forbid or free counts;
    an acceptance names its reservation, and the reservation says whether it still stands.
    """

    ACCEPT, LOCK, FORBID, FREE = "accept", "lock", "forbid", "free"
    SORTS = (
        (ACCEPT, "accepted"),
        (LOCK, "locked"),
        (FORBID, "forbidden"),
        (FREE, "free again"),
    )
    act_id = models.UUIDField(unique=True)
    sort = models.CharField(max_length=8, choices=SORTS)
    need_key = models.CharField(max_length=120)
    place = models.ForeignKey("equipment.Place", on_delete=models.PROTECT, related_name="+")
    unit_off = models.ForeignKey("equipment.Unit", on_delete=models.PROTECT, related_name="+")
    piece = models.PositiveIntegerField(
        default=0, help_text="Which of several that come off; 0: one need."
    )
    unit = models.ForeignKey("equipment.Unit", on_delete=models.PROTECT, related_name="rulings")
    reservation = models.OneToOneField(
        "equipment.Reservation",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="ruling",
    )
    words = models.CharField(max_length=200, blank=True)
    ruled_at = models.DateTimeField()
    ruled_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")

    class Meta:
        indexes = [models.Index(fields=["unit_off", "unit", "id"], name="rulings_of_a_pair")]
