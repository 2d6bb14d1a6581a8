"""Signatures: of steps, of inspections, of the release and of a handover; each with credentials entered anew."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import Any
from uuid import uuid5

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from equipment.common.pages.person import page, person
from equipment.common.pages.proving import proof_of
from equipment.models import Signature
from equipment.swaps.acts import (
    hand_over_swap,
    inspect_steps,
    refuse_inspections,
    reinspect_steps,
    release_swap,
    sign_steps,
)
from equipment.swaps.pages.parts import here, others, swap_or_404
from fleet.house.pages import reader
from fleet.people.proofs import Proof, prove
from fleet.screens.act_forms import ProofForm
from fleet.screens.act_pages import attempt

from . import signing_shown
from .forms import HandOverForm, SignForm
from .shown import SwapPage, swap_page


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@reader
def swap_sign(request: HttpRequest, swap_id: int) -> HttpResponse:
    """Several steps signed off, or inspected, at one entering of the password."""
    shown = swap_page(swap_or_404(swap_id))
    what = signing_shown.asked(request.POST.get("what") or request.GET.get("what", ""))
    here(request, shown.swap)
    form = SignForm(
        request.POST or None,
        initial={"username": "" if what.is_other else person(request).username},
    )
    form.asks_for_reason(
        what.asks if what.has_reason else "", of_own_work=what.code == "reinspection"
    )
    numbers = signing_shown.numbers_of(request.POST.getlist("step"))
    if request.method == "POST" and form.is_valid():
        if not numbers:
            form.add_error(None, "Tick the steps that you sign for.")
        elif attempt(request, form, lambda: _sign(request, form, shown, what, numbers)):
            return redirect(signing_shown.back_of(swap_id, request.POST.get("back", "")))
    context = signing_shown.context(shown, what, numbers if request.method == "POST" else None)
    return page(
        request,
        "equipment/swaps/sign.html",
        {**context, "form": form, "others": others(request, shown.swap)},
        form,
    )


def _sign(
    request: HttpRequest,
    form: SignForm,
    shown: SwapPage,
    what: signing_shown.What,
    numbers: list[int],
) -> bool:
    """All of the ticked steps or none: each is an act of its own, its id made from the form's."""
    proof = proof_of(request, form)
    acts: dict[str, Callable[..., list[Signature]]] = {
        "step": sign_steps,
        "inspection": inspect_steps,
        "reinspection": reinspect_steps,
        "refusal": refuse_inspections,
    }
    keys = {row.number: row.step.pk for row in shown.rows}
    steps = {keys.get(number, 0): uuid5(form.act, str(number)) for number in numbers}
    more = {
        name: form.cleaned_data[name] for name in ("reason", "inspector") if name in form.fields
    }
    acts[what.code](proof=proof, swap_id=shown.id, steps=steps, at=timezone.now(), **more)
    return True


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@reader
def swap_release(request: HttpRequest, swap_id: int) -> HttpResponse:
    """What stands in the way; when nothing does, the statement and one button."""
    shown = swap_page(swap_or_404(swap_id))
    here(request, shown.swap)
    form = ProofForm(request.POST or None, initial={"username": person(request).username})
    if request.method == "POST" and form.is_valid():
        done = attempt(
            request,
            form,
            lambda: release_swap(
                proof=proof_of(request, form), swap_id=swap_id, act_id=form.act, at=timezone.now()
            ),
        )
        if done is not None:
            return redirect("equipment:swap", swap_id=swap_id)
    context: dict[str, Any] = {
        "swap": shown,
        "form": form,
        "others": others(request, shown.swap),
        **signing_shown.release_context(shown, person(request)),
    }
    return page(request, "equipment/swaps/release.html", context, form)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@reader
def swap_hand_over(request: HttpRequest, swap_id: int) -> HttpResponse:
    """A shift hands the swap to the next: what must be known, and both sign."""
    shown = swap_page(swap_or_404(swap_id))
    form = HandOverForm(request.POST or None, initial={"giver": person(request).username})
    is_sent = request.method == "POST" and form.is_valid()
    if is_sent and attempt(request, form, lambda: _hand_over(request, form, swap_id)):
        return redirect("equipment:swap", swap_id=swap_id)
    context = {
        "swap": shown,
        "form": form,
        "others": others(request, shown.swap),
        "heading": "Hand over to the next shift",
        "lead": f"{shown.done} of {shown.total} steps are signed. Who gives and who takes both sign here.",
        "button": "Hand over",
    }
    return page(request, "equipment/swaps/reason.html", context, form)


def _hand_over(request: HttpRequest, form: HandOverForm, swap_id: int) -> bool:
    at = timezone.now()
    giver, taker = (_proof_by(request, form, who, at) for who in ("giver", "taker"))
    words = form.cleaned_data["words"]
    hand_over_swap(giver=giver, taker=taker, swap_id=swap_id, words=words, act_id=form.act, at=at)
    return True


def _proof_by(request: HttpRequest, form: HandOverForm, who: str, at: datetime) -> Proof:
    """The proof of one of the two; a refused password is said at their own field."""
    name, password = form.cleaned_data[who], form.cleaned_data[f"{who}_password"]
    with signing_shown.told_at(f"{who}_password"):
        return prove(request, username=name, password=password, at=at)
