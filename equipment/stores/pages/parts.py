"""What every page of the stores has in common: an act tried, a page answered, a unit found."""

from __future__ import annotations

from typing import Any, TypeVar

from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from equipment.common.pages.person import person
from fleet.house.desks import ACTS as WHO
from fleet.house.desks import ROLES, may
from fleet.house.pages import today

Done = TypeVar("Done")


def page(
    request: HttpRequest,
    template: str,
    act: str,
    context: dict[str, Any],
    form: BaseForm | None = None,
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
    return render(request, template, shown | context, status=status)
