"""Checks and overnight stops: planned, moved, cancelled; what that moves is shown before it is saved."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_safe

from fleet.aircraft.acts.changes import CHANGE_CHECK
from fleet.aircraft.acts.checks import PLAN_CHECK
from fleet.house.desks import may
from fleet.house.pages import reader, today
from fleet.models import Aircraft, Check
from fleet.offers.offer import Offer
from fleet.offers.page import About, Page
from fleet.words.said import day_words
from scheduling.entries.foretold.moves import Moves, Reach, foresee
from scheduling.entries.offered import WORKS

TEMPLATE = "scheduling/entries/act.html"


@require_safe
@reader
def checks(request: HttpRequest) -> HttpResponse:
    """Every coming check by its first day, those cancelled too; aircraft without one first."""
    coming = (
        Check.objects.filter(ends_on__gte=today())
        .select_related("aircraft", "station")
        .order_by("starts_on", "aircraft__registration", "pk")
    )
    fleet = Aircraft.objects.exclude(status=Aircraft.LEFT).order_by("registration")
    planned = coming.filter(is_cancelled=False, sort=Check.CHECK).values("aircraft")
    context = {
        "checks": list(coming[:600]),
        "without": list(fleet.exclude(pk__in=planned)),
        "fleet": list(fleet),
        "may_plan": may(request.user, "plan_check"),  # type: ignore[arg-type]
    }
    return render(request, "scheduling/entries/checks.html", context)


def _about_aircraft(request: HttpRequest, registration: str) -> About:
    aircraft = get_object_or_404(
        Aircraft.objects.select_related("station"), registration=registration.upper()[:10]
    )
    return About(
        given={"aircraft_id": aircraft.pk},
        subject=aircraft.registration,
        starts={"station": aircraft.station_id, "sort": Check.CHECK},
        back=reverse("scheduling:checks"),
        back_label="All checks",
    )


def _about_check(request: HttpRequest, check_id: int) -> About:
    check = get_object_or_404(Check.objects.select_related("aircraft"), pk=check_id)
    return About(
        given={"check_id": check.pk, "aircraft_id": check.aircraft_id},
        subject=f"{check.name} of {check.aircraft.registration}, from {day_words(check.starts_on)}"
        f" to {day_words(check.ends_on)}",
        starts={
            "name": check.name,
            "starts_on": check.starts_on,
            "ends_on": check.ends_on,
            "station": check.station_id,
            "slot": check.slot,
            "people": check.people,
            "is_cancelled": check.is_cancelled,
        },
        back=reverse("scheduling:checks"),
        back_label="All checks",
    )


def _moved(do: Callable[[], Any], about: About, typed: Any) -> list[Moves]:
    aircraft = about.given.get("aircraft_id") or about.given["aircraft"]
    return foresee(do, Reach(aircraft_ids=(aircraft,), is_of_checks=True), [today()])


def _abilities() -> list[tuple[str, str]]:
    return [(code, code) for code in WORKS()]


PLANNED = Offer(
    PLAN_CHECK,
    None,
    Page(
        address="checks/<str:registration>/plan/",
        name="check_plan",
        heading="Plan a check",
        lead="Or an overnight stop, with the works that are possible there. Nothing chosen: all works.",
        button="Plan the check",
        done="The check is planned.",
        about=_about_aircraft,
        first=("name", "sort", "starts_on", "ends_on", "station", "slot", "people"),
        known=("abilities", "is_cancelled"),
        template=TEMPLATE,
        foresee=_moved,
    ),
)
CHANGED = Offer(
    CHANGE_CHECK,
    None,
    Page(
        address="checks/<int:check_id>/change/",
        name="check_change",
        heading="Move or cancel a check",
        lead="It stays the same check: what is planned for it moves with it.",
        button="Save the check",
        done="The check is changed.",
        about=_about_check,
        known=("check",),
        template=TEMPLATE,
        foresee=_moved,
    ),
)
OFFERS = (PLANNED, CHANGED)
