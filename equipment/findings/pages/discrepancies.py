"""One discrepancy and the ways to settle it, the likeliest first."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from equipment.common.pages.person import page, person
from equipment.findings.acts import discrepancies
from equipment.findings.reads import discrepancies as reads
from equipment.findings.reads.discrepancies import DiscrepancyShown
from fleet.house.desks import may
from fleet.house.pages import reader, today
from fleet.models import User
from fleet.screens.act_forms import ActForm
from fleet.screens.act_pages import attempt

from .settling_forms import ChangeForm, FactForm, UnknownForm, WordsForm

Act = Callable[[Any, DiscrepancyShown, User], discrepancies.Settled]


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@reader
def discrepancy(request: HttpRequest, discrepancy_id: int) -> HttpResponse:
    """What was found, what the records say, and each way to settle it."""
    shown = reads.discrepancy_shown(discrepancy_id)
    if shown is None:
        raise Http404("There is no such discrepancy.")
    chosen = request.POST.get("way", "") if request.method == "POST" else ""
    forms = {way.code: _form(request, way.code, shown, chosen) for way in shown.ways}
    form = forms.get(chosen)
    if form is not None and form.is_valid():
        done = _settled(request, form, chosen, shown, person(request))
        if done is not None:
            messages.success(request, f"{shown.where}: settled. {done.settlement.words}")
            return redirect("equipment:discrepancies")
    if chosen and form is None:
        raise Http404("A discrepancy of this sort is not settled so.")
    ways = [
        _way(way, forms[way.code], is_open=way.code == (chosen or shown.ways[0].code))
        for way in shown.ways
    ]
    context = {
        "found": shown,
        "ways": ways,
        "may_settle": may(person(request), "settle_discrepancy") and shown.is_open,
    }
    return page(request, "equipment/findings/discrepancy.html", context, form)


def _way(way: reads.Way, form: ActForm, *, is_open: bool) -> dict[str, Any]:
    return {
        "code": way.code,
        "title": way.title,
        "needs": way.needs,
        "form": form,
        "is_open": is_open,
    }


def _form(request: HttpRequest, code: str, shown: DiscrepancyShown, chosen: str) -> ActForm:
    given = request.POST if chosen == code else None
    named = f"{code}_%s"
    if code in {reads.MISREAD, reads.PUT_RIGHT}:
        return WordsForm(given, auto_id=named)
    if code == reads.FACT:
        return FactForm(given, shown=shown, auto_id=named)
    begun: dict[str, Any] = {"station": shown.station_id, "to": "quarantine" if shown.there else ""}
    if shown.found is not None:
        begun["found"] = shown.found.words
    if shown.recorded is not None:
        begun["off"] = shown.recorded.id
    if code == reads.CHANGE:
        return ChangeForm(given, initial=begun, shown=shown, auto_id=named)
    begun |= {"part_number": shown.plate[0], "serial_number": shown.plate[1]}
    return UnknownForm(given, initial=begun, shown=shown, auto_id=named)


def _settled(
    request: HttpRequest, form: Any, way: str, shown: DiscrepancyShown, by: User
) -> discrepancies.Settled | None:
    unit = form.found_unit(today().year) if way == reads.CHANGE else None
    if not form.is_valid():
        return None
    act: dict[str, Act] = {
        reads.CHANGE: lambda form, shown, by: _change(form, shown, by, unit),
        reads.UNKNOWN: _unknown,
        reads.MISREAD: _misread,
        reads.FACT: lambda form, shown, by: _by_fact(form, shown, by, "corrected"),
        reads.PUT_RIGHT: lambda form, shown, by: _by_fact(form, shown, by, "put_right"),
    }
    return attempt(request, form, lambda: act[way](form, shown, by))


def _change(
    form: ChangeForm, shown: DiscrepancyShown, by: User, unit: int | None
) -> discrepancies.Settled:
    return discrepancies.settle_as_unrecorded_swap(
        by=by,
        discrepancy_id=shown.id,
        found_unit_id=unit,
        happened=form.happened,
        recorded_unit_id=form.cleaned_data["off"],
        act_id=form.act,
        at=timezone.now(),
    )


def _unknown(form: UnknownForm, shown: DiscrepancyShown, by: User) -> discrepancies.Settled:
    given = form.cleaned_data
    return discrepancies.settle_as_unknown_unit(
        by=by,
        discrepancy_id=shown.id,
        part_number_id=given["part"],
        serial_number=given["serial_number"],
        happened=form.happened,
        recorded_unit_id=given["off"],
        act_id=form.act,
        at=timezone.now(),
    )


def _misread(form: WordsForm, shown: DiscrepancyShown, by: User) -> discrepancies.Settled:
    words = form.cleaned_data["words"]
    return discrepancies.settle_as_misread(
        by=by, discrepancy_id=shown.id, words=words, act_id=form.act, at=timezone.now()
    )


def _by_fact(
    form: WordsForm, shown: DiscrepancyShown, by: User, sort: str
) -> discrepancies.Settled:
    given = form.cleaned_data
    return discrepancies.settle(
        by=by,
        discrepancy_id=shown.id,
        sort=sort,
        words=given["words"],
        movement_id=given.get("movement"),
        swap_id=given.get("swap"),
        act_id=form.act,
        at=timezone.now(),
    )
