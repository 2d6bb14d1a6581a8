"""The list of swaps, where one begins, one swap as a whole, and who has it open."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from equipment.common.pages.person import page, person
from equipment.swaps.acts import answer_call
from equipment.swaps.acts.opening import OPEN_SWAP
from equipment.swaps.pages.parts import here, mine_context, others, swap_of, swap_or_404
from equipment.swaps.reads.mine import handed_over_last
from fleet.house.desks import may
from fleet.house.pages import reader, today
from fleet.house.refusals import Refused
from fleet.screens.act_pages import performed

from . import list_rows, start
from .forms import StartForm
from .shown import SwapPage, swap_page


@require_safe
@never_cache
@reader
def swap_list(request: HttpRequest) -> HttpResponse:
    """The open swaps with how far each is, and those released lately."""
    context = {
        "open_swaps": list_rows.open_rows(timezone.now()),
        "released": list_rows.ended_rows(),
        "may_open": may(person(request), "open_swap"),
    }
    return render(request, "equipment/swaps/list.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@reader
def swap_start(request: HttpRequest) -> HttpResponse:
    """Where a swap begins: from a due item, a position, a unit or a scanned code."""
    asked = start.asked_of(request.POST if request.method == "POST" else request.GET, today())
    form = StartForm(request.POST or None, initial=start.initial(asked, person(request)))
    if asked.start is not None:
        at, due = asked.start.place, asked.due_item
        opened = performed(request, OPEN_SWAP, form, place=at, due_item=due, **asked.meant)
        if opened is not None:
            return redirect("equipment:swap", swap_id=opened.pk)
    return page(request, "equipment/swaps/start.html", start.context(asked, form), form)


@require_safe
@never_cache
@reader
def swap(request: HttpRequest, swap_id: int) -> HttpResponse:
    """One swap as a whole: what comes off and goes on, every step, what is next."""
    shown = swap_page(swap_or_404(swap_id))
    here(request, shown.swap)
    by = person(request)
    moves = shown.is_open and not shown.is_in_place and may(by, "record_movement")
    context: dict[str, Any] = {
        "swap": shown,
        "others": others(request, shown.swap),
        "warnings": list_rows.warnings_of(shown, by),
        "can_remove": moves and not shown.off,
        "can_install": moves and not shown.on,
        "may_hand_over": may(by, "hand_over_swap"),
        "may_abandon": may(by, "abandon_swap"),
        "may_correct": may(by, "correct_swap"),
        "may_correct_unit": may(by, "correct_swap_unit"),
        "to_sign": len(shown.to_sign),
        "to_inspect": len(shown.to_inspect),
        "handed_over": handed_over_last(shown.swap) if shown.is_open else None,
        "print_href": list_rows.print_href(swap_id),
        **_next(shown),
    }
    return render(request, "equipment/swaps/swap.html", context)


def _next(shown: SwapPage) -> dict[str, Any]:
    row = shown.next_row
    if row is not None:
        is_begun = any(each.entry for each in shown.rows)
        return {"next_step": row, "next_label": "Go on" if is_begun else "Begin"}
    href = reverse("equipment:swap_release", args=[shown.id])
    return {"next_label": "To the release", "next_href": href}


@require_POST
@reader
def swap_presence(request: HttpRequest, swap_id: int) -> HttpResponse:
    """Notes that this person still has the swap open, and answers with who else has."""
    found = swap_of(swap_id)
    step = request.GET.get("step", "")
    here(request, found, int(step) if step.isascii() and step.isdigit() and len(step) < 5 else None)
    context = {"others": others(request, found), **mine_context(person(request), timezone.now())}
    return render(request, "equipment/swaps/told/_here.html", context)


@require_safe
@never_cache
@reader
def swap_inspections(request: HttpRequest) -> HttpResponse:
    """Who waits for the inspector, the longest first, and what is signed and not inspected yet."""
    context = {
        "calls": list_rows.calls(timezone.now()),
        "unsigned": list_rows.uninspected(timezone.now()),
        "may_inspect": may(person(request), "inspect_step"),
    }
    return render(request, "equipment/swaps/inspections.html", context)


@require_safe
@never_cache
@reader
def swap_mine(request: HttpRequest) -> HttpResponse:
    """What waits for this person on the line, asked again by whatever page shows it."""
    context = mine_context(person(request), timezone.now())
    return render(request, "equipment/swaps/told/_mine.html", context)


@require_POST
@reader
def swap_coming(request: HttpRequest, call_id: int) -> HttpResponse:
    """The inspector answers a call: on the way."""
    try:
        answer_call(by=person(request), call_id=call_id, at=timezone.now())
    except Refused as refused:
        context = {"calls": list_rows.calls(timezone.now()), "fault": refused.message}
        return render(request, "equipment/swaps/inspections.html", context, status=422)
    return redirect("equipment:swap_inspections")
