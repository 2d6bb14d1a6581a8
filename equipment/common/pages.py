"""What every page of a swap has in common: the swap, the person, their device, an act tried."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from typing import Any, TypeVar

from django.forms import BaseForm
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone

from equipment.models import Step, Swap
from equipment.swaps.acts import note_presence
from equipment.swaps.pages.shown import whole_swap
from equipment.swaps.reads import whereabouts as line_reads
from equipment.swaps.reads.whereabouts import Here
from fleet.house.desks import may
from fleet.house.refusals import Refused
from fleet.house.web import show_on_form
from fleet.models import User

Done = TypeVar("Done")


def person(request: HttpRequest) -> User:
    """Who is signed in; pages of swaps are behind ``reader``."""
    if not isinstance(request.user, User):
        raise Http404
    return request.user


def device(request: HttpRequest) -> str:
    """A name of this browser's session that gives nothing away."""
    key = request.session.session_key or ""
    return hashlib.sha256(f"device {key}".encode()).hexdigest()[:12]


def swap_of(swap_id: int) -> Swap:
    return get_object_or_404(Swap.objects.select_related("step_list", "end"), pk=swap_id)


def step_of(swap: Swap, number: int) -> Step:
    """A step of the list that the swap began with."""
    steps = Step.objects.select_related("step_list").filter(step_list=swap.step_list_id)
    return get_object_or_404(steps, number=number)


def swap_or_404(swap_id: int) -> Swap:
    """The swap with all that its pages name."""
    found = whole_swap(swap_id)
    if found is None:
        raise Http404("There is no such swap.")
    return found


def others(request: HttpRequest, swap: Swap) -> list[Here]:
    """Who else has the swap open now, or the same person on another device."""
    return line_reads.here_now(swap.pk, person(request).pk, device(request), timezone.now())


def is_open(swap: Swap) -> bool:
    return getattr(swap, "end", None) is None


def tried(form: BaseForm, act: Callable[[], Done]) -> Done | None:
    """What the act gives; None with its reasons on the form if it refuses."""
    try:
        return act()
    except Refused as refused:
        show_on_form(form, refused)
        return None


def here(request: HttpRequest, swap: Swap, step_number: int | None = None) -> None:
    """This will note that the person has the swap open; not of one that has ended."""
    if is_open(swap) and may(person(request), "enter_step"):
        note_presence(
            by=person(request),
            swap_id=swap.pk,
            device=device(request),
            step_number=step_number,
            at=timezone.now(),
        )


def page(
    request: HttpRequest, name: str, context: dict[str, Any], form: BaseForm | None = None
) -> HttpResponse:
    """A page of a swap; 422 if its form was refused."""
    status = 422 if form is not None and form.errors else 200
    return render(request, f"equipment/{name}.html", context, status=status)
