"""The forms of a walk-round: shape only. Scanned or typed first; big targets."""

from __future__ import annotations

from calendar import monthrange
from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from equipment.codes.read import read_mark
from equipment.common.scanned import units_of
from fleet.intake.dates import stamp_of
from fleet.intake.problems import CellProblem
from fleet.models import Aircraft
from fleet.screens.act_forms import SaidForm, form_of

from .seen import Look, Seen, WalkBegun

GAUGES = (
    ("in the band", "In the band"),
    ("below the band", "Below"),
    ("above the band", "Above"),
    ("", "No gauge, or not read"),
)
PINS = (
    ("as it should be", "As it should be"),
    ("left in", "Left in"),
    ("missing", "Missing"),
    ("", "No pin, or not looked at"),
)
TYPED = {"autocomplete": "off", "autocapitalize": "characters", "spellcheck": "false"}


class MonthOrDay(forms.CharField):
    """A day as 31 Mar 2027, or a month alone as Mar 2027: good to the end of it."""

    def clean(self, value: Any) -> date | None:
        text = super().clean(value).strip()
        found = stamp_of(text)
        if found is None:
            return None
        if isinstance(found, CellProblem) or found.precision not in {"day", "month"}:
            said = "Give the expiry as Mar 2027 or 2027-03, or with its day as 31 Mar 2027."
            raise ValidationError(said, code="invalid")
        day = found.on
        is_month = found.precision == "month"
        return day.replace(day=monthrange(day.year, day.month)[1]) if is_month else day


class Walk(SaidForm):
    """Which aircraft, by its registration."""

    aircraft = forms.ModelChoiceField(
        Aircraft.objects.order_by("registration"),
        to_field_name="registration",
        label="Aircraft",
        empty_label="Choose the aircraft",
        error_messages={"required": "Choose the aircraft.", "invalid_choice": "No such aircraft."},
    )


WalkForm = form_of(WalkBegun, first=("aircraft", "zone", "station"), base=Walk)


class SeenForm(SaidForm):
    """What is read at one position: scanned or typed, picked or written, so that it has controls of
    its own for what the act is told."""

    said_type = Look

    code = forms.CharField(
        required=False,
        max_length=200,
        label="Scan or type what is there",
        widget=forms.TextInput(attrs={**TYPED, "autofocus": True}),
    )
    part_number_read = forms.CharField(
        required=False, max_length=40, label="P/N", widget=forms.TextInput(attrs=TYPED)
    )
    serial_number_read = forms.CharField(
        required=False, max_length=40, label="S/N", widget=forms.TextInput(attrs=TYPED)
    )
    expiry_read = MonthOrDay(
        required=False,
        max_length=20,
        label="Expiry on it, as Mar 2027 or 03/2027",
        widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
    )
    gauge = forms.ChoiceField(
        choices=GAUGES, required=False, label="Gauge", widget=forms.RadioSelect
    )
    pressure = forms.CharField(
        required=False,
        max_length=40,
        label="Or what it shows, as 2900 psi at 70 °F",
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    pin_read = forms.ChoiceField(
        choices=PINS, required=False, label="Safety pin, seal", widget=forms.RadioSelect
    )
    note = forms.CharField(required=False, max_length=180, label="Note")
    is_empty = forms.BooleanField(required=False, widget=forms.HiddenInput)

    def seen(self, year: int) -> Seen:
        """What was read: the scanned code, or what was typed of the plate. Only of a valid form."""
        given = self.cleaned_data
        if given["is_empty"]:
            return Seen(note=given["note"], is_empty=True)
        number, serial = given["part_number_read"], given["serial_number_read"]
        if given["code"] and not (number or serial):
            number, serial = _plate_of(given["code"], year)
        return Seen(
            number,
            serial,
            given["expiry_read"],
            given["pressure"] or given["gauge"],
            given["pin_read"],
            given["note"],
        )


def _plate_of(code: str, year: int) -> tuple[str, str]:
    """(part number, serial number) that a code says; of one word alone it is the serial number."""
    units = units_of(code, year)
    if len(units) == 1:
        return units[0].part_number.number, units[0].serial_number
    mark = read_mark(code, year=year)
    if mark.serial:
        return mark.shown_part_number or "", mark.serial
    words = [word for word in code.split() if word.upper() not in {"S/N", "SN", "P/N", "PN"}]
    if len(words) == 2:
        return words[0][:40], words[1][:40]
    return "", "".join(words)[:40]
