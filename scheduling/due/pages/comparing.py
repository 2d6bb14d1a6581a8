"""The page that puts two days of the due list beside each other."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from fleet.house.pages import reader, today
from fleet.house.refusals import Refused
from fleet.house.web import show_on_form
from fleet.screens.fields import Day
from fleet.screens.filter_forms import filters_by, options_now
from scheduling.due.compared import compared
from scheduling.due.lists.filters import DueFilters

from . import shown
from .forms import DueFilterForm


@filters_by(DueFilters, hidden=("band", "sort", "grounds"), without=("is_descending",))
class CompareForm(DueFilterForm):
    """The list's filters, and the day it is compared with: a week before, unless another is given."""

    as_of = Day(label="As of", required=False)
    beside = Day(label="Compare with", required=False)
    down = forms.BooleanField(required=False, widget=forms.HiddenInput)


@require_safe
@reader
def due_compare(request: HttpRequest) -> HttpResponse:
    """What is new, gone or moved between two days of the list, and why. 422 for what cannot be compared."""
    form = CompareForm(request.GET, options_now(DueFilters))
    context: dict[str, Any] = {"form": form}
    if form.is_valid():
        as_of = form.day(today())
        beside = form.cleaned_data["beside"] or as_of - timedelta(days=7)
        try:
            found = compared(filters=form.filters(), as_of=as_of, beside=beside)
        except Refused as refused:
            show_on_form(form, refused)
        else:
            context |= {
                "found": found,
                "earlier": min(as_of, beside),
                "later": max(as_of, beside),
                "narrowed_by": shown.narrowed_by(form),
                "parts": [
                    ("New", "new", found.new),
                    ("Gone", "gone", found.gone),
                    ("Moved", "moved", found.moved),
                ],
            }
    status = 422 if form.errors else 200
    return render(request, "scheduling/due/compare.html", context, status=status)
