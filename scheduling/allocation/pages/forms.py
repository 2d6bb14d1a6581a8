"""What the allocation page is asked: shape only."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

from django import forms

from fleet.screens.act_forms import form_of
from fleet.screens.filter_forms import Choices, chosen
from scheduling.allocation.acts.decide import Ruling
from scheduling.allocation.reads.kept import STATES, Wanted


class AllocationForm(forms.Form):
    """The filters of the list, in the query, so that a link reproduces the view."""

    station = chosen("Station", "station")
    kind = chosen("Kind", "kind")
    text = forms.CharField(label="Position or unit", required=False, max_length=40, strip=True)
    state = forms.ChoiceField(required=False, choices=[("", ""), *STATES], widget=forms.HiddenInput)
    page = forms.IntegerField(required=False, min_value=1, max_value=1000, widget=forms.HiddenInput)

    def __init__(self, data: Any, stations: Choices, kinds: Choices) -> None:
        super().__init__(data)
        for name, every, choices in (
            ("station", "Every station", stations),
            ("kind", "Every kind", kinds),
        ):
            field = self.fields[name]
            assert isinstance(field, forms.ChoiceField)
            field.choices = [("", every), *choices]
        self.fields["station"].widget.attrs["data-first-filter"] = ""

    def wanted(self) -> Wanted:
        given = self.cleaned_data
        return Wanted(given["station"], given["kind"], given["state"], given["text"])

    def address(self, **changes: Any) -> str:
        """The query that reproduces this view, with some values changed."""
        values = {**self.cleaned_data, **changes}
        return "?" + urlencode({name: value for name, value in values.items() if value})


#: One decision, as a button of the page sends it.
RulingForm = form_of(Ruling, without=["words"])
