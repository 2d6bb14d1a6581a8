from __future__ import annotations

from django.db import models
from django.db.models import Q


class Swap(models.Model):
    """The job of taking a unit off one position and putting one on. Insert-only.

    A ``work`` done in place (``in_place``) is one too, without movements: the unit that it is done on is
    ``expected_off``; None where it is done on the position itself.

    It gathers the removal and the installation (:class:`SwapMovement`), the values
    (:class:`StepEntry`) and the signatures, and has one end (:class:`SwapEnd`). What state it is in
    follows from these rows; nothing here changes. A correction of a released swap is a new swap
    that ``corrects`` it: the old one stays readable.
    """

    SORTS = (
        ("swap", "off and on"),
        ("removal", "removal without replacement"),
        ("fitting", "fitting into an open position"),
        ("robbery", "unit taken from another aircraft"),
        ("inside", "change inside a unit in the shop"),
        ("in_place", "work done in place"),
    )
    IN_PLACE = "in_place"
    act_id = models.UUIDField(unique=True)
    sort = models.CharField(max_length=10, choices=SORTS, default="swap")
    place = models.ForeignKey("equipment.Place", on_delete=models.PROTECT, related_name="swaps")
    aircraft = models.ForeignKey(
        "fleet.Aircraft", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    station = models.ForeignKey("fleet.Station", on_delete=models.PROTECT, related_name="+")
    step_list = models.ForeignKey(
        "equipment.StepList", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    rule_set = models.ForeignKey("equipment.RuleSet", on_delete=models.PROTECT, related_name="+")
    expected_off = models.ForeignKey(
        "equipment.Unit",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
        help_text="What the records said was there when the job began.",
    )
    planned_on = models.ForeignKey(
        "equipment.Unit", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    reason = models.CharField(max_length=200)
    due_item = models.BigIntegerField(null=True, blank=True, help_text="What it was begun from.")
    work = models.CharField(
        max_length=32, blank=True, help_text="Code of the work that is done in place; else empty."
    )
    donor_of = models.ForeignKey(
        "self",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="donors",
        help_text="The swap for which this removal robbed an aircraft.",
    )
    corrects = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="corrected_by"
    )
    correction_reason = models.CharField(max_length=200, blank=True)
    is_transcribed = models.BooleanField(
        default=False, help_text="Done on paper, entered afterwards."
    )
    card_reference = models.CharField(max_length=80, blank=True)
    card_says = models.JSONField(
        default=dict, blank=True, help_text="Of a card: who did the work, the times at its steps."
    )
    opened_at = models.DateTimeField()
    opened_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")
    sender_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(corrects__isnull=True) | ~Q(correction_reason=""),
                name="a_correction_of_a_swap_has_a_reason",
            ),
            models.CheckConstraint(
                condition=Q(is_transcribed=True)
                | Q(step_list__isnull=False)
                | Q(sort__in=["removal", "robbery"]),
                name="a_swap_has_steps_or_a_card",
            ),
            models.CheckConstraint(
                condition=Q(sort="in_place") & ~Q(work="") | ~Q(sort="in_place") & Q(work=""),
                name="a_work_in_place_names_its_work",
            ),
        ]
        indexes = [models.Index(fields=["place", "opened_at"], name="swap_of_place_by_time")]

    def __str__(self) -> str:
        return f"swap {self.pk}"


class SwapMovement(models.Model):
    """A removal or installation in the ledger that belongs to a swap. Insert-only."""

    OFF, ON = "off", "on"
    swap = models.ForeignKey(Swap, on_delete=models.PROTECT, related_name="moves")
    role = models.CharField(max_length=3, choices=((OFF, "off"), (ON, "on")))
    movement = models.OneToOneField(
        "equipment.Movement", on_delete=models.PROTECT, related_name="swap_link"
    )


class StepEntry(models.Model):
    """What a person typed at a step, as typed and as judged. Insert-only: the latest counts.

    ``typed`` are the fields as typed, ``values`` the same in the rule's own units. ``is_confirmed``
    tells that a questioned value was kept by the person.
    """

    VERDICTS = (
        ("in", "in tolerance"),
        ("out", "out of tolerance"),
        ("cannot_judge", "cannot be judged"),
        ("none", "nothing to judge"),
    )
    swap = models.ForeignKey(Swap, on_delete=models.PROTECT, related_name="entries")
    step = models.ForeignKey("equipment.Step", on_delete=models.PROTECT, related_name="+")
    act_id = models.UUIDField(unique=True)
    typed = models.JSONField(default=dict)
    values = models.JSONField(default=dict)
    verdict = models.CharField(max_length=12, choices=VERDICTS)
    sentence = models.CharField(max_length=400, blank=True)
    is_confirmed = models.BooleanField(default=False)
    tool = models.ForeignKey(
        "equipment.Tool", null=True, blank=True, on_delete=models.PROTECT, related_name="entries"
    )
    calibration = models.ForeignKey(
        "equipment.Calibration", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    chart = models.ForeignKey(
        "equipment.BottleChart", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    entered_at = models.DateTimeField()
    entered_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")
    sender_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        indexes = [models.Index(fields=["swap", "step", "id"], name="entry_of_swap_by_step")]


class Signature(models.Model):
    """Who signed what exactly, when, under which authorisation. Insert-only.

    ``content`` holds the facts that were signed and ``digest`` their SHA-256: a value entered
    later does not match it, and the signature no longer counts. The authorisation is copied. Ink
    names the signer and stamp of the card; ``by`` is then who transcribed it.
    """

    STEP, INSPECTION, REINSPECTION, RELEASE = "step", "inspection", "reinspection", "release"
    HANDED, TAKEN, CORRECTION = "handed_over", "taken_over", "correction"
    NOT_ACCEPTED = "not_accepted"
    SORTS = (
        (STEP, "step signed off"),
        (INSPECTION, "independent inspection"),
        (REINSPECTION, "reinspection by the same person"),
        (NOT_ACCEPTED, "inspected and not accepted"),
        (RELEASE, "swap signed off"),
        (HANDED, "handed over"),
        (TAKEN, "taken over"),
        (CORRECTION, "one fact corrected"),
    )
    act_id = models.UUIDField(unique=True)
    swap = models.ForeignKey(Swap, on_delete=models.PROTECT, related_name="signatures")
    sort = models.CharField(max_length=14, choices=SORTS)
    step = models.ForeignKey(
        "equipment.Step", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    entry = models.ForeignKey(
        StepEntry, null=True, blank=True, on_delete=models.PROTECT, related_name="signatures"
    )
    by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")
    name = models.CharField(max_length=120)
    statement = models.CharField(max_length=600)
    data_revision = models.CharField(max_length=120)
    authorisation = models.ForeignKey(
        "fleet.Authorisation", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    authorisation_words = models.CharField(max_length=200, blank=True)
    reason = models.CharField(max_length=200, blank=True)
    assigned = models.ForeignKey(
        "fleet.User",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
        help_text="Of a reinspection: the inspector who had been assigned to the shift.",
    )
    content = models.JSONField()
    digest = models.CharField(max_length=64)
    is_ink = models.BooleanField(default=False)
    ink_signer = models.CharField(max_length=120, blank=True)
    ink_stamp = models.CharField(max_length=40, blank=True)
    ink_on = models.DateField(null=True, blank=True)
    signed_at = models.DateTimeField()
    sender_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["swap"], condition=Q(sort="release"), name="a_swap_is_released_once"
            ),
            models.CheckConstraint(
                condition=Q(is_ink=False) | ~Q(ink_signer=""), name="ink_names_its_signer"
            ),
        ]
        indexes = [models.Index(fields=["swap", "step"], name="signature_of_swap_by_step")]


class SwapEnd(models.Model):
    """How a swap ended: released or abandoned, once. Insert-only."""

    SORTS = (("released", "released"), ("abandoned", "abandoned"))
    swap = models.OneToOneField(Swap, on_delete=models.PROTECT, related_name="end")
    act_id = models.UUIDField(unique=True)
    sort = models.CharField(max_length=10, choices=SORTS)
    reason = models.CharField(max_length=200, blank=True)
    signature = models.OneToOneField(
        Signature, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    dispositions = models.JSONField(
        default=list,
        blank=True,
        help_text="Of each life-limited unit that came off: part, serial, life used and left.",
    )
    works = models.JSONField(default=list, blank=True, help_text="Works done that it earned.")
    at = models.DateTimeField()
    by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(sort="released", signature__isnull=False)
                | (Q(sort="abandoned", signature__isnull=True) & ~Q(reason="")),
                name="a_release_is_signed_and_an_abandoned_swap_says_why",
            ),
        ]


class SwapPresence(models.Model):
    """Who has this swap open where, so that two people see each other. Not a record."""

    swap = models.ForeignKey(Swap, on_delete=models.CASCADE, related_name="presences")
    by = models.ForeignKey("fleet.User", on_delete=models.CASCADE, related_name="+")
    device = models.CharField(max_length=40)
    step_number = models.PositiveSmallIntegerField(null=True, blank=True)
    seen_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["swap", "by", "device"], name="one_presence_of_a_device_in_a_swap"
            ),
        ]


class InspectorCall(models.Model):
    """The inspector is called to a step, and how long it took until somebody came."""

    act_id = models.UUIDField(unique=True)
    swap = models.ForeignKey(Swap, on_delete=models.PROTECT, related_name="calls")
    step = models.ForeignKey("equipment.Step", on_delete=models.PROTECT, related_name="+")
    called_at = models.DateTimeField()
    called_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")
    coming_at = models.DateTimeField(null=True, blank=True)
    coming_by = models.ForeignKey(
        "fleet.User", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    ended_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["swap", "step"],
                condition=Q(ended_at__isnull=True),
                name="an_inspector_is_called_once_to_a_step",
            ),
        ]
