"""The form of a card: shape only, the act judges."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from equipment.common.attached import FileFact, file_of
from equipment.swaps.pages.forms import RemovalForm
from fleet.house.refusals import Refused
from fleet.screens.act_forms import Groups, grouped
from fleet.screens.fields import Day


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
    inspector = forms.CharField(
        required=False, label="Who inspected in ink, if anybody", max_length=120
    )
    inspector_stamp = forms.CharField(required=False, label="Inspector's stamp", max_length=40)
    page = forms.FileField(
        label="Page of the card (picture or PDF)",
        error_messages={"required": "Attach the page: it carries the signatures."},
    )
    GROUPS = (
        ("The card", ("reference", "reason", "page")),
        ("When, and the aircraft's totals", ("happened_at", "hours", "cycles", "log_page")),
        ("What came off", ("off_code", "to", "shop", "tag", "why", "words")),
        ("What went on", ("on_code",)),
        ("Who signed in ink", ("signer", "stamp", "signed_on", "inspector", "inspector_stamp")),
    )
    field_order = tuple(name for _, names in GROUPS for name in names)

    @property
    def groups(self) -> Groups:
        """The answer to what was asked about stands there once it was asked."""
        answer = (("You were asked about a unit", ("is_confirmed",)),) if self.asks else ()
        return grouped(self, (*self.GROUPS, *answer))

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, **more)
        for name in ("code", "unit", "part_number", "serial_number"):
            del self.fields[name]  # a card tells of two units, each in a field of its own

    def clean_page(self) -> FileFact | None:
        try:
            return file_of(self.cleaned_data["page"])
        except Refused as refused:
            raise ValidationError(refused.message, code=refused.code) from refused
