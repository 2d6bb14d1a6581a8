"""The list that a paper is of, from the query that its page was asked with."""

from __future__ import annotations

from django.http import QueryDict

from fleet.house.refusals import Refused
from fleet.screens.filter_forms import options_now
from scheduling.due.lists.filters import DueFilters
from scheduling.due.pages.forms import DueFilterForm

#: No paper has more: it would keep the house's worker for minutes, and nobody reads it.
MOST_ROWS = 40_000


def form_of_query(query: str) -> DueFilterForm:
    """The due list's form over a query; refuses one that the list does not know."""
    form = DueFilterForm(QueryDict(query.lstrip("?")), options_now(DueFilters))
    if not form.is_valid():
        said = "; ".join(str(fault) for faults in form.errors.values() for fault in faults)
        raise Refused("unknown_list", said, "query")
    return form
