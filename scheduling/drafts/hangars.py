"""The hangars: what they hold, where more is wished of them, and days that fit all, to be kept as a draft."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from equipment.common.pages.person import person
from fleet.acts.fields import choice
from fleet.drawing.time import month_after
from fleet.house.desks import may
from fleet.house.pages import reader, today
from fleet.screens.act_forms import ActForm
from fleet.screens.act_pages import attempt
from fleet.screens.filter_forms import FilterForm, filters_by, options_now
from scheduling.planning.facts.fleet import plan_of
from scheduling.planning.reads.hangars import fitted, hangars_shown, overfull_until

from .acts.moves import MovedCheck, NewMoves, keep_moves

MONTHS = (("2", "2 months"), ("4", "4 months"), ("12", "12 months"))
DAYS = (("7", "7 days"), ("14", "14 days"), ("28", "28 days"))
#: So many seconds a page looks for a better way: at first, and where somebody asks it to look longer.
SECONDS = {"1": 0.9, "longer": 8.0}


@dataclass(frozen=True, slots=True)
class HangarsAsked:
    """How far ahead, and by how many days a check may be moved."""

    months: str = choice("Ahead", MONTHS, default="4", what="span")
    move: str = choice("Moved by at most", DAYS, default="14", what="number of days")


@filters_by(HangarsAsked)
class HangarsForm(FilterForm):
    """Built over the query, so that a link reproduces the view."""


class KeepForm(ActForm):
    """Checks and their days as they were shown, and the draft's name."""

    draft = forms.CharField(
        label="Draft", max_length=60, error_messages={"required": "Give the draft a name."}
    )
    moves = forms.CharField(
        widget=forms.HiddenInput,
        max_length=20_000,
        error_messages={"required": "Nothing is moved."},
    )

    def clean_moves(self) -> tuple[MovedCheck, ...]:
        """``31 2027-03-05, 32 2027-03-09``."""
        try:
            pairs = [each.split() for each in self.cleaned_data["moves"].split(",")]
            return tuple(MovedCheck(int(key), date.fromisoformat(on)) for key, on in pairs)
        except ValueError as fault:
            raise forms.ValidationError("What is moved cannot be read: find days again.") from fault


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@reader
def hangars(request: HttpRequest) -> HttpResponse:
    """What each hangar holds and where more is wished of it; asked, days that fit them all."""
    by, day = person(request), today()
    keep = KeepForm(request.POST or None)
    if request.method == "POST" and keep.is_valid():
        said = NewMoves(keep.cleaned_data["draft"], keep.cleaned_data["moves"])
        made = attempt(
            request,
            keep,
            lambda: keep_moves(by=by, new=said, act_id=keep.act, at=timezone.now(), today=day),
        )
        if made is not None:
            return redirect("scheduling:draft", draft_id=made.pk)
    asked = request.GET.copy()
    seconds = SECONDS.get((asked.pop("find", None) or [""])[-1])
    form = HangarsForm(asked or {"months": "4", "move": "14"}, options_now(HangarsAsked))
    held = hangars_shown(day)
    unsaid = [each.station.code for each in held if not (each.now or each.later)]
    context: dict[str, Any] = {
        "form": form,
        "keep": keep,
        "today": day,
        "hangars": held,
        "unsaid": unsaid,
        "is_any_said": len(unsaid) < len(held),
        "may_plan": may(by, "plan_works"),
        "may_keep": may(by, "keep_drafts"),
        "back": reverse("scheduling:plan"),
    }
    if form.is_valid():
        context |= _asked(form.asked(), day, seconds)
    return render(
        request, "scheduling/drafts/hangars.html", context, status=422 if keep.errors else 200
    )


def _asked(asked: HangarsAsked, day: date, seconds: float | None) -> dict[str, Any]:
    until = month_after(day, int(asked.months) + (day.day > 1))
    found: dict[str, Any] = {"until": until, "overfull": overfull_until(day, until)}
    if seconds is not None:
        fit = fitted(plan_of(day), until, int(asked.move), seconds)
        found["longer"] = (
            None if fit.is_best or seconds == max(SECONDS.values()) else max(SECONDS.values())
        )
        moves = ", ".join(f"{each.check.pk} {each.on:%Y-%m-%d}" for each in fit.moves)
        found |= {"fit": fit, "moves": moves, "name": f"Hangar slots {day:%d %b %Y}"}
    return found
