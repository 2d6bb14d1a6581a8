"""The door of a check's package."""

from __future__ import annotations

from django.urls import path
from rest_framework.request import Request
from rest_framework.response import Response

from fleet.doors.door import Door, found_or_missing
from fleet.doors.schema import described
from fleet.house.pages import today
from fleet.models import Check

from ..reads.handed import handed_of
from ..reads.package import package_of
from . import lived, shapes


class CheckPackage(Door):
    @described(
        tag="Plan",
        name="read_check_package",
        summary="The package of a check",
        description="What is done at a check by zone and access: swaps, works in place, units set aside, step lists "
        "with tools and cautions, documents; once it was handed over, how each item stands. The same as its page.",
        answer=shapes.PackageShown,
        example=shapes.PACKAGE,
    )
    def get(self, request: Request, check_id: int) -> Response:
        words = f"There is no check {check_id}. See /api/v1/plan."
        rows = Check.objects.select_related("aircraft", "station")
        check = found_or_missing(rows, "unknown_check", words, pk=check_id)
        package = package_of(check, today())
        shown = {name: getattr(package, name) for name in NAMES} | {
            "check_shown": _named(check),
            "handed": handed_of(check),
        }
        return Response(shapes.PackageShown(shown).data)


NAMES = ("check", "as_of", "swaps", "lacking", "now", "unknown", "parts", "lists", "documents")


def _named(check: Check) -> dict[str, object]:
    return {
        "id": check.pk,
        "name": check.name,
        "is_overnight": check.sort == Check.OVERNIGHT,
        "starts_on": check.starts_on,
        "ends_on": check.ends_on,
        "station": check.station.code,
    }


urlpatterns = [
    path("v1/plan/checks/<int:check_id>", CheckPackage.as_view(), name="api-plan-check"),
    path(
        "v1/plan/checks/<int:check_id>/release",
        lived.CheckRelease.as_view(),
        name="api-plan-check-release",
    ),
]
