"""The form of a card: shape only, the act judges."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from equipment.common.attached import FileFact, file_of
from equipment.judging.release.on_card import CardStep, HoldPoint, StepOnCard
from equipment.swaps.pages.forms import RemovalForm
from fleet.house.refusals import Refused
from fleet.screens.act_forms import Groups, grouped
from fleet.screens.fields import Day, Moment


class CardForm(RemovalForm):
    """A swap as its card tells it: off, on, totals, ink and page."""

    reference = forms.CharField(
        label="Reference of the card",
        max_length=80,
        error_messages={"required": "Give the card's reference."},
    )
    reason = forms.CharField(
        label="Why it was changed", max_length=200, error_messages={"required": "Say why."}
    )
    off_code = forms.CharField(
        required=False, max_length=200, label="Came off: scan, or P/N and S/N"
    )
    on_code = forms.CharField(required=False, max_length=200, label="Went on: scan, or P/N and S/N")
    signer = forms.CharField(
        label="Who signed the release in ink",
        max_length=120,
        error_messages={"required": "Give the name as it stands on the card."},
    )
    stamp = forms.CharField(required=False, label="Stamp", max_length=40)
    signed_on = Day(label="Signed on")
    performed = forms.CharField(
        required=False, label="Who did the work, if another than who signed", max_length=120
    )
    inspector = forms.CharField(
        required=False, label="Who inspected in ink, if anybody", max_length=120
    )
    inspector_stamp = forms.CharField(required=False, label="Inspector's stamp", max_length=40)
    inspected_on = Day(
        required=False, label="Inspected on", help_text="Empty: on the day of the release."
    )
    page = forms.FileField(
        label="Page of the card (picture or PDF)",
        error_messages={"required": "Attach the page: it carries the signatures."},
    )
    GROUPS = (
        ("The card", ("reference", "reason", "page")),
        ("When, and the aircraft's totals", ("happened_at", "hours", "cycles", "log_page")),
        ("What came off", ("off_code", "to", "shop", "tag", "why", "words")),
        ("What went on", ("on_code",)),
        ("Who signed in ink", ("performed", "signer", "stamp", "signed_on")),
        ("Who inspected in ink", ("inspector", "inspector_stamp", "inspected_on")),
    )
    field_order = tuple(name for _, names in GROUPS for name in names)
    #: What is asked of hold points, whose times decide whether what was inspected could be seen.
    HELD = "Times on the card at its hold points, in UTC. Leave empty what it does not show"

    @property
    def groups(self) -> Groups:
        """The answer to what was asked about stands there once it was asked."""
        answer = (("You were asked about a unit", ("is_confirmed",)),) if self.asks else ()
        held = ((self.HELD, tuple(self.times)),) if self.times else ()
        return grouped(self, (*self.GROUPS, *held, *answer))

    def __init__(self, *args: Any, points: Sequence[HoldPoint] = (), **more: Any) -> None:
        super().__init__(*args, **more)
        self.times: dict[str, str] = {}
        for point in points:
            self._ask("inspected", point.under, "inspected")
            self._ask("done", point.cover, f"which covers step {point.under.number}, done")
        for name in ("code", "unit", "part_number", "serial_number"):
            del self.fields[name]  # a card tells of two units, each in a field of its own

    def _ask(self, what: str, step: CardStep, words: str) -> None:
        """This will ask for one time at a step, once."""
        name = f"{what}_{step.number}"
        if name not in self.times:
            label = f"Step {step.number}, “{step.words.strip().rstrip('.')}”, {words}"
            self.fields[name] = Moment(required=False, label=label)
            self.times[name] = what

    @property
    def steps(self) -> tuple[StepOnCard, ...]:
        """The times given at hold points. Only of a valid form."""
        said: dict[int, dict[str, datetime]] = {}
        for name, what in self.times.items():
            if given := self.cleaned_data[name]:
                said.setdefault(int(name.rsplit("_", 1)[1]), {})[f"{what}_at"] = given
        return tuple(StepOnCard(number, **times) for number, times in sorted(said.items()))

    def clean_page(self) -> FileFact | None:
        try:
            return file_of(self.cleaned_data["page"])
        except Refused as refused:
            raise ValidationError(refused.message, code=refused.code) from refused
