"""One step of a swap on a phone: shown, judged as typed, kept as entered."""

from __future__ import annotations

from dataclasses import replace
from typing import Any
from uuid import UUID, uuid4, uuid5

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.dateparse import parse_datetime
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from equipment.common.attached import file_of
from equipment.common.pages.person import person
from equipment.models import StepEntry
from equipment.swaps.acts import call_inspector, enter_step
from equipment.swaps.acts.attachments import attach_file
from equipment.swaps.pages.parts import here, others, step_of, swap_of
from fleet.house.moments import is_plausible
from fleet.house.pages import reader, today
from fleet.house.refusals import Refused

from . import shown as step_shown
from .forms import is_said, typed_of
from .going_on import after, following, goes_on
from .unread import UNREAD, is_unread


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@reader
def swap_step(request: HttpRequest, swap_id: int, number: int) -> HttpResponse:
    """A step; a POST keeps what was entered, and answers with what became of it."""
    swap = swap_of(swap_id)
    step = step_of(swap, number)
    if request.method == "POST":
        return _enter(request, step_shown.Asked(swap, step, typed_of(request.POST), tool(request)))
    here(request, swap, number)
    asked = step_shown.Asked(swap, step, None, "")
    return _whole(request, asked, {"again": bool(request.GET.get("again"))})


@require_POST
@never_cache
@reader
def swap_judge(request: HttpRequest, swap_id: int, number: int) -> HttpResponse:
    """What is typed so far, judged and not kept: in range, out of it by how much, or a question."""
    swap = swap_of(swap_id)
    asked = step_shown.Asked(swap, step_of(swap, number), typed_of(request.POST), tool(request))
    return render(request, "equipment/swaps/step/_judged.html", step_shown.judged(asked, today()))


def tool(request: HttpRequest) -> str:
    return request.POST.get("tool", "")[:24]


def _enter(request: HttpRequest, asked: step_shown.Asked) -> HttpResponse:
    """One act: kept, or told what is wrong, or what another person entered meanwhile. Where nothing is
    typed, the button that keeps and goes on only goes on."""
    if goes_on(request.POST) and not is_said(asked.typed) and not request.FILES:
        return redirect(following(asked))
    if is_unread(asked.step, request.POST, timezone.now()):
        return _told(request, asked, 422, {"refused": Refused("step_unread", UNREAD)})
    meanwhile = step_shown.meanwhile(asked, request.POST, person(request))
    if meanwhile:
        return _told(request, asked, 409, {"meanwhile": meanwhile})
    try:
        asked = _with_photo(request, asked)
        entry = enter_step(
            by=person(request),
            swap_id=asked.swap.pk,
            step_id=asked.step.pk,
            typed=asked.typed or {},
            tool_code=asked.tool_code,
            act_id=act_of(request),
            at=timezone.now(),
            sender_at=sender_of(request),
        )
    except Refused as refused:
        return _told(request, asked, 422, {"refused": refused})
    return _kept(request, asked, entry)


def _with_photo(request: HttpRequest, asked: step_shown.Asked) -> step_shown.Asked:
    """A photo that was sent is kept first; the entry names it."""
    photo = file_of(request.FILES.get("file"))
    if photo is None or asked.step.sort != "photo":
        return asked
    kept = attach_file(
        by=person(request),
        file=photo,
        act_id=uuid5(act_of(request), "photo"),
        at=timezone.now(),
        swap_id=asked.swap.pk,
        step_id=asked.step.pk,
    )
    return replace(asked, typed={**(asked.typed or {}), "photo": kept.name})


def _kept(request: HttpRequest, asked: step_shown.Asked, entry: StepEntry) -> HttpResponse:
    """On to the next step where a button said all there was to say; else here, with the verdict."""
    address = after(asked, entry, request.POST)
    if "X-Keep" not in request.headers:
        return redirect(address)
    kept = step_shown.Asked(asked.swap, asked.step, None, "")
    answer = _told(request, kept, 200, {})
    if "#" not in address:
        answer["X-Next"] = address
    return answer


def _told(
    request: HttpRequest, asked: step_shown.Asked, status: int, more: dict[str, Any]
) -> HttpResponse:
    """The part below the form for a script, the whole page without one."""
    if "X-Keep" in request.headers:
        context = step_shown.context(asked, person(request), today(), {**more, "is_answer": True})
        return render(request, "equipment/swaps/step/_answer.html", context, status=status)
    return _whole(request, asked, more, status)


def _whole(
    request: HttpRequest, asked: step_shown.Asked, more: dict[str, Any], status: int = 200
) -> HttpResponse:
    by = person(request)
    context = step_shown.context(asked, by, today(), more)
    context |= {"others": others(request, asked.swap)}
    return render(request, "equipment/swaps/step/step.html", context, status=status)


def act_of(request: HttpRequest) -> UUID:
    """The sender's id of the act; a new one if there is none that can be read."""
    try:
        return UUID(request.POST.get("act_id", ""))
    except ValueError:
        return uuid4()


def sender_of(request: HttpRequest) -> Any:
    """The sender's clock, if it said a time that can be read."""
    try:
        said = parse_datetime(request.POST.get("sender_at", "")[:40])
    except ValueError:
        return None
    return said if said and said.tzinfo and is_plausible(said.date()) else None


@require_POST
@reader
def swap_call(request: HttpRequest, swap_id: int, number: int) -> HttpResponse:
    """Calls the inspector to a step."""
    swap = swap_of(swap_id)
    step = step_of(swap, number)
    back = reverse("equipment:swap_step", args=[swap_id, number])
    try:
        call_inspector(
            by=person(request),
            swap_id=swap_id,
            step_id=step.pk,
            act_id=act_of(request),
            at=timezone.now(),
        )
    except Refused as refused:
        return _told(request, step_shown.Asked(swap, step, None, ""), 422, {"refused": refused})
    return redirect(back)
