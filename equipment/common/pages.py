"""What every page of a swap has in common: the swap, the person, their device, an act tried."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from django.forms import BaseForm
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from fleet.house.refusals import Refused
from fleet.house.web import show_on_form
from fleet.models import User

Done = TypeVar("Done")


def person(request: HttpRequest) -> User:
    """Who is signed in; pages of swaps are behind ``reader``."""
    if not isinstance(request.user, User):
        raise Http404
    return request.user


def tried(form: BaseForm, act: Callable[[], Done]) -> Done | None:
    """What the act gives; None with its reasons on the form if it refuses."""
    try:
        return act()
    except Refused as refused:
        show_on_form(form, refused)
        return None


def page(
    request: HttpRequest, name: str, context: dict[str, Any], form: BaseForm | None = None
) -> HttpResponse:
    """A page of a swap; 422 if its form was refused."""
    status = 422 if form is not None and form.errors else 200
    return render(request, f"equipment/{name}.html", context, status=status)
