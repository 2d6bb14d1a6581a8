"""The due list's filters as its page has them: shape only. What they mean is the read function's."""

from __future__ import annotations

from datetime import date
from typing import Any
from urllib.parse import urlencode

from django import forms

from fleet.screens.fields import Day
from fleet.screens.filter_forms import FilterForm, Options, filters_by
from scheduling.due.lists.filters import DueFilters


@filters_by(DueFilters, hidden=("band", "sort", "grounds"), without=("is_descending",))
class DueFilterForm(FilterForm):
    """Built over the query, so that a link reproduces the view."""

    also = frozenset({"mark", "page", "columns", "id", "down"})
    as_of = Day(label="As of", required=False)
    down = forms.BooleanField(required=False, widget=forms.HiddenInput)

    def __init__(self, data: Any, options: Options) -> None:
        super().__init__(data, options)
        next(iter(self.fields.values())).widget.attrs["data-first-filter"] = ""
        self.fields["part_number"].widget.attrs["placeholder"] = "Part number"
        self.fields["as_of"].widget.attrs["placeholder"] = "today"

    def filters(self, ids: tuple[int, ...] = ()) -> DueFilters:
        """The filters given. Only of a valid form."""
        found: DueFilters = self.asked(ids=ids, is_descending=self.cleaned_data["down"])
        return found

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
