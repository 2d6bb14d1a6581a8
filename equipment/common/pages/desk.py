"""An act tried from a page, what it says afterwards, and the unit that a page is about."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect

from equipment.common.wording import PLACE_PARTS
from equipment.models import Unit
from fleet.screens.act_forms import ActForm
from fleet.screens.act_pages import attempt

Done = TypeVar("Done")


def unit_or_404(unit_id: int) -> Unit:
    """The unit as kept, with what its pages name."""
    parts = (f"place__{part}" for part in PLACE_PARTS)
    units = Unit.objects.select_related("part_number__kind", "part_number__maker", *parts)
    found = units.filter(pk=unit_id).first()
    if found is not None and found.merged_into_id:
        found = units.filter(pk=found.merged_into_id).first()
    if found is None:
        raise Http404("There is no such unit.")
    return found


def attempt_sent(request: HttpRequest, form: ActForm, act: Callable[[], Done]) -> Done | None:
    """What the act gave, if the form was sent, can be read and is not refused."""
    if request.method != "POST" or not form.is_valid():
        return None
    return attempt(request, form, act)


def redirect_with_message(request: HttpRequest, words: str, to: str, *keys: int) -> HttpResponse:
    """On to the next page, which says what was done."""
    messages.success(request, words)
    return redirect(to, *keys)
