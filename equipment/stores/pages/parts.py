"""What every page of the stores has in common: an act tried, a page answered, a unit found."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from django.contrib import messages
from django.forms import BaseForm
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from equipment.common.pages import person, tried
from equipment.common.wording import PLACE_PARTS
from equipment.models import Unit
from fleet.house.desks import ACTS as WHO
from fleet.house.desks import ROLES, may
from fleet.house.pages import today

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


def done(request: HttpRequest, form: BaseForm, act: Callable[[], Done]) -> Done | None:
    """What the act gave, if the form was sent, can be read and is not refused."""
    if request.method != "POST" or not form.is_valid():
        return None
    return tried(form, act)


def said(request: HttpRequest, words: str, to: str, *keys: int) -> HttpResponse:
    """On to the next page, which says what was done."""
    messages.success(request, words)
    return redirect(to, *keys)


def page(
    request: HttpRequest, name: str, act: str, context: dict[str, Any], form: BaseForm | None = None
) -> HttpResponse:
    """A page of the stores and whether this person may do its act; 422 if its form was refused."""
    roles = dict(ROLES)
    shown: dict[str, Any] = {
        "may_act": may(person(request), act),
        "who_may": ", ".join(sorted(roles[role].lower() for role in WHO[act])),
        "today": today(),
        "form": form,
    }
    status = 422 if form is not None and form.errors else 200
    return render(request, f"equipment/{name}.html", shown | context, status=status)
