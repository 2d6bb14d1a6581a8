"""The forms of what is left open, and of a robbery: shape only."""

from __future__ import annotations

from django import forms

from equipment.findings.acts.open_items import Opening
from fleet.screens.act_forms import ActForm, Groups, grouped
from fleet.screens.fields import Day


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
