"""The due list's filters: shape only. What they mean is the read function's."""

from __future__ import annotations

from datetime import date
from html import escape
from typing import Any
from urllib.parse import urlencode

from django import forms
from django.forms.utils import flatatt
from django.utils.html import format_html
from django.utils.safestring import SafeString

from fleet.house.pages import refuse_far
from scheduling.due.lists.rows import BANDS, SORTS, DueFilters

Choices = list[tuple[str, str]]


class Options(dict[str, Choices]):
    """What there is to choose from: station, aircraft, kind, work."""


SELECTED = " selected"
EVERYTHING = {
    "station": "Every station",
    "aircraft": "Every aircraft",
    "kind": "Every kind",
    "work": "Every work",
}


class Choice(forms.Select):
    """A list to choose from, written in one go: with a template for each option, those of 500
    aircraft take longer than all the rest of the page."""

    def render(self, name: str, value: Any, attrs: Any = None, renderer: Any = None) -> SafeString:
        chosen = "" if value is None else str(value)
        options = SafeString(
            "\n".join(
                f'<option value="{escape(str(code))}"{SELECTED if str(code) == chosen else ""}>'
                f"{escape(str(words))}</option>"
                for code, words in self.choices
            )
        )
        held = self.build_attrs(self.attrs, {**(attrs or {}), "name": name})
        return format_html("<select{}>{}</select>", flatatt(held), options)


def _choice(label: str, what: str) -> forms.ChoiceField:
    return forms.ChoiceField(
        label=label,
        required=False,
        widget=Choice,
        error_messages={
            "invalid_choice": f"There is no {what} %(value)s. Choose one from the list."
        },
    )


def _day(label: str) -> forms.DateField:
    return forms.DateField(
        label=label,
        required=False,
        input_formats=["%Y-%m-%d"],
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={
            "invalid": "This is not a date. Give it as year-month-day, such as 2027-03-03."
        },
        validators=[refuse_far],
    )


class DueFilterForm(forms.Form):
    """Built over the query, so that a link reproduces the view."""

    station = _choice("Station", "station")
    aircraft = _choice("Aircraft", "aircraft")
    kind = _choice("Kind", "kind")
    work = _choice("Work", "work")
    part_number = forms.CharField(label="Part number", required=False, max_length=40, strip=True)
    until_on = _day("Due until")
    as_of = _day("As of")
    band = forms.ChoiceField(required=False, choices=[("", ""), *BANDS], widget=forms.HiddenInput)
    sort = forms.ChoiceField(required=False, choices=[("", ""), *SORTS], widget=forms.HiddenInput)
    down = forms.BooleanField(required=False, widget=forms.HiddenInput)

    def __init__(self, data: Any, options: Options) -> None:
        super().__init__(data)
        for name, choices in options.items():
            field = self.fields[name]
            assert isinstance(field, forms.ChoiceField)
            field.choices = [("", EVERYTHING[name]), *choices]
        self.fields["station"].widget.attrs["data-first-filter"] = ""

    def filters(self, ids: tuple[int, ...] = ()) -> DueFilters:
        """The filters given. Only of a valid form."""
        given = self.cleaned_data
        return DueFilters(
            **{name: given[name] for name in ("station", "aircraft", "kind", "work", "band")},
            part_number=given["part_number"].upper(),
            until_on=given["until_on"],
            ids=ids,
            sort=given["sort"] or "urgency",
            is_descending=given["down"],
        )

    def day(self, today: date) -> date:
        """The day the list is asked for."""
        return self.cleaned_data["as_of"] or today

    def address(self, **changes: Any) -> str:
        """The query that reproduces this view, with some values changed."""
        values = {**self.cleaned_data, **changes}
        kept = {
            name: "on" if value is True else str(value) for name, value in values.items() if value
        }
        return "?" + urlencode(kept)
