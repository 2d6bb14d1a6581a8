"""Forms of what is done beside a swap: shape only, the acts judge."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import UploadedFile

from equipment.availability.acts.fillings import Use
from equipment.common.attached import refuse_size
from equipment.findings.acts.open_items import Opening
from equipment.judging.measuring.quantities import read_quantity
from equipment.judging.verdicts import Problem
from equipment.stores.acts.facts import FileFact
from equipment.swaps.pages.forms import RemovalForm
from fleet.house.refusals import Refused
from fleet.screens.act_forms import ActForm
from fleet.screens.fields import Day


def file_of(sent: UploadedFile | None) -> FileFact | None:
    """A file that was sent, read only if it is not too large; refuses ``file_too_large``."""
    if sent is None:
        return None
    refuse_size(sent.size or 0)
    return FileFact(sent.name or "file", sent.read())


Groups = list[tuple[str, list[forms.BoundField]]]


def grouped(form: forms.Form, groups: Iterable[tuple[str, Iterable[str]]]) -> Groups:
    """The fields of a longer form under the headings that its page gives them."""
    return [(title, [form[name] for name in names]) for title, names in groups]


class OpeningForm(ActForm):
    """By which document a position stays open, and until when."""

    document = forms.CharField(
        label="Document, item and revision that allow it",
        max_length=80,
        error_messages={"required": "Name the document that allows it."},
    )
    category = forms.CharField(required=False, label="Category", max_length=8)
    words = forms.CharField(
        label="What is open", max_length=200, error_messages={"required": "Say what is open."}
    )
    found_on = Day(label="Found on")
    expires_on = Day(label="Last day on which it may stay open")
    repeat_actions = forms.CharField(
        required=False, label="What is repeated meanwhile", max_length=200
    )
    effect = forms.CharField(
        required=False, label="What it means for dispatch (seats, passengers)", max_length=200
    )

    @property
    def opening(self) -> Opening:
        names = (
            "document",
            "words",
            "found_on",
            "expires_on",
            "category",
            "repeat_actions",
            "effect",
        )
        return Opening(**{name: self.cleaned_data[name] for name in names})


class DeferralForm(OpeningForm):
    """Where something is open that no swap left so."""

    where = forms.CharField(
        label="Aircraft, and the position if it is one",
        max_length=60,
        help_text="As: Q7-VAB, or Q7-VAB D1L-SLIDE",
        error_messages={"required": "Name the aircraft."},
    )
    field_order = ("where",)


class RobberyForm(OpeningForm):
    """From where a unit is taken for a swap, when, and by what the donor's position stays open."""

    donor = forms.CharField(
        label="Aircraft and position that it is taken from",
        max_length=60,
        help_text="As: Q7-VAB D1L-SLIDE",
        error_messages={"required": "Name the aircraft and the position."},
    )
    happened_on = Day(label="Taken off on")
    log_page = forms.CharField(required=False, max_length=40, label="Log page of that aircraft")
    field_order = ("donor", "happened_on", "log_page")
    GROUPS = (
        ("Where it is taken from", ("donor", "happened_on", "log_page")),
        (
            "By what its position there stays open",
            ("document", "category", "words", "found_on", "expires_on", "repeat_actions", "effect"),
        ),
    )

    @property
    def groups(self) -> Groups:
        return grouped(self, self.GROUPS)


class CloseItemForm(ActForm):
    """By what an open item was closed, and when."""

    words = forms.CharField(
        label="By what it was closed",
        max_length=200,
        error_messages={"required": "Say by what it was closed."},
    )
    closed_on = Day(label="Closed on")


class UseForm(ActForm):
    """A filling, or a discharge: the day and what was read."""

    done_on = Day(label="Day")
    pressure = forms.CharField(required=False, max_length=40, label="Pressure shown (psi or bar)")
    temperature = forms.CharField(required=False, max_length=40, label="Temperature (°F or °C)")
    document = forms.CharField(required=False, max_length=80, label="Document")

    def clean_pressure(self) -> float | None:
        return self._read("pressure", "psi", "pressure")

    def clean_temperature(self) -> float | None:
        return self._read("temperature", "°F", "temperature")

    def _read(self, name: str, unit: str, sort: str) -> float | None:
        text = self.cleaned_data[name]
        if not text:
            return None
        found = read_quantity(text, unit, expected=sort)
        if isinstance(found, Problem):
            raise ValidationError(found.sentence, code=found.code)
        return float(found.value)

    def use(self, *, is_empty: bool = False) -> Use:
        """What was done. Only of a valid form."""
        given = self.cleaned_data
        return Use(
            given["done_on"], given["document"], given["pressure"], given["temperature"], is_empty
        )


class FillingForm(UseForm):
    """A bottle was filled."""

    is_empty = forms.BooleanField(required=False, label="It was completely empty before")


class DischargeForm(UseForm):
    """A slide was inflated, or a bottle discharged."""

    what = forms.ChoiceField(
        choices=(
            ("", "Choose what happened"),
            ("inflation", "The slide was inflated"),
            ("discharge", "The bottle was discharged"),
        ),
        label="What happened",
        error_messages={"required": "Say which it was."},
    )
    words = forms.CharField(
        label="How", max_length=300, error_messages={"required": "Say how it happened."}
    )
    field_order = ("what", "words", "done_on")


class ToolReportForm(ActForm):
    """A tool was found out of tolerance, or dropped."""

    sort = forms.ChoiceField(
        choices=(("found_out", "found out of tolerance"), ("dropped", "dropped or abused")),
        label="What happened to it",
    )
    found_on = Day(label="Found on")
    words = forms.CharField(
        label="What was found", max_length=200, error_messages={"required": "Say what was found."}
    )


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
        return grouped(self, self.GROUPS)

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, **more)
        for name in ("code", "unit", "part_number", "serial_number"):
            del self.fields[name]  # a card tells of two units, each in a field of its own

    def clean_page(self) -> FileFact | None:
        try:
            return file_of(self.cleaned_data["page"])
        except Refused as refused:
            raise ValidationError(refused.message, code=refused.code) from refused
