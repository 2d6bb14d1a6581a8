"""What every page of a swap has in common: the swap, the person's device, who else has it open."""

from __future__ import annotations

import hashlib
from datetime import datetime
from typing import Any

from django.http import Http404, HttpRequest
from django.shortcuts import get_object_or_404
from django.utils import timezone

from equipment.common.pages.person import person
from equipment.models import Step, Swap
from equipment.swaps.acts import note_presence
from equipment.swaps.pages.shown import whole_swap
from equipment.swaps.reads import whereabouts
from equipment.swaps.reads.mine import mine_of
from equipment.swaps.reads.whereabouts import Here
from fleet.house.desks import may
from fleet.models import User


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
    return whereabouts.here_now(swap.pk, person(request).pk, device(request), timezone.now())


def is_open(swap: Swap) -> bool:
    return getattr(swap, "end", None) is None


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


def mine_context(user: User, now: datetime) -> dict[str, Any]:
    """What waits for a person, as :mod:`equipment.swaps.reads.mine` reads it."""
    return {"mine": mine_of(user, now), "may_inspect": may(user, "inspect_step")}
