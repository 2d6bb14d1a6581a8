"""Forms of what is done beside a swap: shape only, the acts judge."""

from __future__ import annotations

from django import forms
from django.core.exceptions import ValidationError

from equipment.availability.acts.fillings import Use
from equipment.judging.measuring.quantities import read_quantity
from equipment.judging.verdicts import Problem
from fleet.screens.act_forms import ActForm
from fleet.screens.fields import Day


class UseForm(ActForm):
    """A filling, or a discharge: the day and what was read."""

    done_on = Day(label="Day")
    pressure = forms.CharField(required=False, max_length=40, label="Pressure shown (psi or bar)")
    temperature = forms.CharField(required=False, max_length=40, label="Temperature (°F or °C)")
    document = forms.CharField(required=False, max_length=80, label="Document")

    def clean_pressure(self) -> float | None:
        return self._read("pressure", "psi")

    def clean_temperature(self) -> float | None:
        return self._read("temperature", "°F")

    def _read(self, name: str, unit: str) -> float | None:
        """What was read, in the unit that is kept; a number without a unit is in it already."""
        text = self.cleaned_data[name]
        if not text:
            return None
        found = read_quantity(text, unit, expected=unit)
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
