"""What every page of a swap has in common: the swap, the person, their device, an act tried."""

from __future__ import annotations

from typing import Any

from django.forms import BaseForm
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from fleet.models import User


def person(request: HttpRequest) -> User:
    """Who is signed in; pages of swaps are behind ``reader``."""
    if not isinstance(request.user, User):
        raise Http404
    return request.user


def page(
    request: HttpRequest, template: str, context: dict[str, Any], form: BaseForm | None = None
) -> HttpResponse:
    """A page of a swap; 422 if its form was refused."""
    status = 422 if form is not None and form.errors else 200
    return render(request, template, context, status=status)
