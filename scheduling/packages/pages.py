"""The page of a check's package: to be printed and carried."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from equipment.common.pages.person import person
from fleet.house.desks import may
from fleet.house.pages import reader, today
from fleet.models import Check

from .package import package_of


@require_safe
@reader
def check_package(request: HttpRequest, check_id: int) -> HttpResponse:
    """All that is done at a check, by zone and access, with units, papers, tools and cautions."""
    rows = Check.objects.select_related("aircraft", "station")
    package = package_of(get_object_or_404(rows, pk=check_id), today())
    context = {
        "package": package,
        "check": package.check,
        "may_open": may(person(request), "open_swap"),
    }
    return render(request, "scheduling/packages/package.html", context)
