"""The page of a check's package, to be printed and carried; and of its aircraft's release."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from equipment.common.pages.person import page, person
from equipment.common.pages.proving import proof_of
from equipment.judging.release.signing import RELEASE, authorisation_for
from equipment.swaps.reads.people import authorisations_of
from fleet.house.desks import may
from fleet.house.pages import reader, today
from fleet.models import Check, User
from fleet.screens.act_forms import ProofForm
from fleet.screens.act_pages import attempt

from ..acts.releasing import release_check
from ..reads.handed import Handed, handed_of
from ..reads.package import package_of
from ..reads.release import rests_on

MAY = (
    "open_swap",
    "hand_over_package",
    "note_finding",
    "carry_forward",
    "close_check",
    "release_check",
    "record_work",
    "record_aircraft_work",
    "request_purchase",
)


def _check(check_id: int) -> Check:
    rows = Check.objects.select_related("aircraft__aircraft_type", "station")
    return get_object_or_404(rows, pk=check_id)


@require_safe
@never_cache
@reader
def check_package(request: HttpRequest, check_id: int) -> HttpResponse:
    """All that is done at a check, by zone and access, with units, papers, tools and cautions; once it was
    handed over, how each item stands."""
    check = _check(check_id)
    package, handed = package_of(check, today()), handed_of(check)
    there = {each.row.due_item for each in handed.items} if handed else set()
    context: dict[str, Any] = {
        "package": package,
        "handed": handed,
        "check": check,
        "fresh": sum(line.job.item_id not in there for line in package.lines) if handed else 0,
        "begins_later": check.starts_on > today(),
        **{f"may_{act}": may(person(request), act) for act in MAY},
        **_release(handed),
    }
    return render(request, "scheduling/packages/package.html", context)


def _release(handed: Handed | None) -> dict[str, Any]:
    """What was signed of a check that is released, as it was signed."""
    if handed is None or handed.release is None:
        return {}
    return {"release": handed.release, "signed": handed.release.content}


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@reader
def check_release(request: HttpRequest, check_id: int) -> HttpResponse:
    """What an aircraft's release rests on; when nothing stands in the way, the statement and one button."""
    check = _check(check_id)
    by = person(request)
    form = ProofForm(request.POST or None, initial={"username": by.username})
    if request.method == "POST" and form.is_valid():
        done = attempt(
            request,
            form,
            lambda: release_check(
                proof=proof_of(request, form), check_id=check_id, act_id=form.act, at=timezone.now()
            ),
        )
        if done is not None:
            return redirect("scheduling:check_package", check_id=check_id)
    handed = handed_of(check)
    context = {
        "check": check,
        "handed": handed,
        "rests": rests_on(handed, today()) if handed else None,
        "form": form,
        "may_release": may(by, "release_check"),
        "authorisation": _authorisation(check, by),
    }
    return page(request, "scheduling/packages/release.html", context, form)


def _authorisation(check: Check, by: User) -> str:
    """The authorisation that a release by this person would copy today; empty if there is none."""
    craft = check.aircraft.aircraft_type.code
    held = authorisation_for(RELEASE, craft, None, authorisations_of(by), today())
    return f"{held.sort} {held.number} of {by.shown_name}" if held else ""
