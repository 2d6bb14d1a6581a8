"""What came off and what went on: the unit really found, scanned first, posted when it happens."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from equipment.common.pages.person import page, person
from equipment.common.pages.proving import proof_of
from equipment.common.wording import movement_words, unit_words
from equipment.models import Movement
from equipment.swaps.acts import record_installation, record_removal
from equipment.swaps.acts.correcting import UnitCorrection, correct_swap_unit
from equipment.swaps.acts.ending import ABANDON_SWAP
from equipment.swaps.acts.facts import Moved
from equipment.swaps.acts.opening import CORRECT_SWAP
from equipment.swaps.pages.parts import here, others, swap_or_404
from equipment.swaps.reads.rows import OF_MOVEMENT
from fleet.house.pages import reader
from fleet.screens.act_forms import SaidForm
from fleet.screens.act_pages import attempt, performed

from . import units_meant
from .forms import InstallationForm, ReasonForm, RemovalForm, UnitCorrectionForm
from .shown import SwapPage, swap_page


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@reader
def swap_off(request: HttpRequest, swap_id: int) -> HttpResponse:
    """Records the removal: the unit that came off, where it goes, its tag."""
    shown = swap_page(swap_or_404(swap_id))
    here(request, shown.swap)
    form = RemovalForm(request.POST or None, initial={"happened_at": timezone.now()})
    units_meant.choose_off(form, shown)
    if request.method == "POST" and form.is_valid():
        found = units_meant.found_by(form)
        done = (
            attempt(request, form, lambda: _remove(request, form, shown, found))
            if form.is_valid()
            else None
        )
        if done:
            _say(request, done)
            return redirect(units_meant.back_of(shown, "removal"))
    context = {**units_meant.off_context(form, shown), "others": others(request, shown.swap)}
    return page(request, "equipment/swaps/unit.html", context, form)


def _say(request: HttpRequest, done: Moved) -> None:
    """What is recorded now, as the record says it; and where it does not conform, why."""
    movement = (
        Movement.objects.select_related(*OF_MOVEMENT).filter(pk=done.movement_id or 0).first()
    )
    kept = f"Recorded: {unit_words(movement.unit)}, {movement_words(movement)}." if movement else ""
    if done.is_conforming:
        messages.success(request, kept)
        return
    why = " ".join(reason.message for reason in done.reasons)
    told = (
        "It does not conform, and the controller is told."
        if movement
        else "The controller is told."
    )
    messages.error(request, " ".join(word for word in (kept, told, why) if word))


def _remove(request: HttpRequest, form: RemovalForm, shown: SwapPage, found: Any) -> Any:
    return record_removal(
        by=person(request),
        swap_id=shown.id,
        to=form.place(shown.swap.station_id),
        tag=units_meant.tag_of(form),
        act_id=form.act,
        at=timezone.now(),
        **units_meant.facts_of(form, found),
    )


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@reader
def swap_on(request: HttpRequest, swap_id: int) -> HttpResponse:
    """Records the installation: the unit that went on."""
    shown = swap_page(swap_or_404(swap_id))
    here(request, shown.swap)
    form = InstallationForm(request.POST or None, initial={"happened_at": timezone.now()})
    if request.method == "POST" and form.is_valid():
        found = units_meant.found_by(form)
        done = (
            attempt(request, form, lambda: _install(request, form, shown, found))
            if form.is_valid()
            else None
        )
        if done:
            _say(request, done)
            return redirect(units_meant.back_of(shown, "installation"))
    context = {**units_meant.on_context(form, shown), "others": others(request, shown.swap)}
    return page(request, "equipment/swaps/unit.html", context, form)


def _install(request: HttpRequest, form: InstallationForm, shown: SwapPage, found: Any) -> Any:
    return record_installation(
        by=person(request),
        swap_id=shown.id,
        act_id=form.act,
        at=timezone.now(),
        **units_meant.facts_of(form, found),
    )


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@reader
def swap_abandon(request: HttpRequest, swap_id: int) -> HttpResponse:
    """Ends a swap that will not be finished, and says why."""
    shown = swap_page(swap_or_404(swap_id))
    form = ReasonForm(request.POST or None)
    if performed(request, ABANDON_SWAP, form, swap_id=swap_id) is not None:
        return redirect("equipment:swap", swap_id=swap_id)
    return _asks_why(request, form, shown, "abandon")


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@reader
def swap_correct(request: HttpRequest, swap_id: int) -> HttpResponse:
    """Begins the correction of a released swap: a new one, the old kept and readable."""
    shown = swap_page(swap_or_404(swap_id))
    form = ReasonForm(request.POST or None)
    made = performed(request, CORRECT_SWAP, form, swap_id=swap_id)
    if made is not None:
        return redirect("equipment:swap", swap_id=made.pk)
    return _asks_why(request, form, shown, "correct")


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@reader
def swap_correct_unit(request: HttpRequest, swap_id: int) -> HttpResponse:
    """Puts right which unit a released swap took off or put on: one fact, one signature."""
    shown = swap_page(swap_or_404(swap_id))
    form = UnitCorrectionForm(request.POST or None, initial={"username": person(request).username})
    unit = units_meant.by_code(form) if request.method == "POST" and form.is_valid() else None
    if unit is not None and attempt(
        request, form, lambda: _correct_unit(request, form, shown.id, unit.pk)
    ):
        return redirect("equipment:swap", swap_id=swap_id)
    return _asks_why(request, form, shown, "correct_unit")


def _correct_unit(
    request: HttpRequest, form: UnitCorrectionForm, swap_id: int, unit_id: int
) -> Any:
    given = form.cleaned_data
    correction = UnitCorrection(given["role"], unit_id, given["reason"], given["is_confirmed"])
    proof = proof_of(request, form)
    return correct_swap_unit(
        proof=proof,
        swap_id=swap_id,
        correction=correction,
        act_id=form.act,
        at=timezone.now(),
    )


def _asks_why(
    request: HttpRequest, form: SaidForm | UnitCorrectionForm, shown: SwapPage, what: str
) -> HttpResponse:
    context = units_meant.reason_context(form, shown, what)
    more = {**context, "others": others(request, shown.swap)}
    return page(request, "equipment/swaps/reason.html", more, form)
