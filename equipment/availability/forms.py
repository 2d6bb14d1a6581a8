"""Forms of what is done beside a swap: shape only, the acts judge."""

from __future__ import annotations

from django import forms
from django.core.exceptions import ValidationError

from equipment.availability.acts.fillings import Discharged, Filled
from equipment.judging.measuring.quantities import read_quantity
from equipment.judging.verdicts import Problem
from fleet.screens.act_forms import SaidForm, form_of


class UseForm(SaidForm):
    """A filling, or a discharge: what was read, with its unit."""

    pressure = forms.CharField(required=False, max_length=40, label="Pressure shown (psi or bar)")
    temperature = forms.CharField(required=False, max_length=40, label="Temperature (°F or °C)")

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


class WhatHappened(UseForm):
    """A slide was inflated, or a bottle discharged: nothing is chosen at first."""

    what = forms.ChoiceField(
        choices=(
            ("", "Choose what happened"),
            ("inflation", "The slide was inflated"),
            ("discharge", "The bottle was discharged"),
        ),
        label="What happened",
        error_messages={"required": "Say which it was."},
    )


READ = ("done_on", "pressure", "temperature", "document")
FillingForm = form_of(Filled, without=["unit"], first=READ, base=UseForm)
DischargeForm = form_of(
    Discharged,
    without=["unit", "sort", "is_empty"],
    first=["what", "words", *READ],
    base=WhatHappened,
)
