"""The fleet's pages. What sits in a position, and when it is due, is composed in the templates."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from fleet.house.pages import end_of, reader, today
from fleet.models import Aircraft
from fleet.screens.days import day_asked

from . import reads
from .ports import groundings_of


@require_safe
@reader
def aircraft_list(request: HttpRequest) -> HttpResponse:
    """Every aircraft with what grounds it, its next check and how its due items stand."""
    grounded = groundings_of(None, today())
    context = {
        "fleet": [(one, grounded.get(one.pk, ())) for one in reads.fleet_on(today())],
        "grounded": len(grounded),
        "today": today(),
    }
    return render(request, "fleet/aircraft/list.html", context)


@require_safe
@reader
def aircraft(request: HttpRequest, registration: str) -> HttpResponse:
    """One aircraft on any day (``?at=``), as the records said on any day (``?known_at=``)."""
    if "\x00" in registration:  # the database takes no such text
        raise Http404("No aircraft has this registration.")
    shown = get_object_or_404(
        Aircraft.objects.select_related("aircraft_type", "station"),
        registration=registration.upper(),
    )
    at, at_fault = day_asked(request, "at")
    known_on, known_fault = day_asked(request, "known_at")
    day = at or today()
    known_at = end_of(known_on) if known_on else None
    context = {
        "aircraft": shown,
        "day": day,
        "today": today(),
        "known_on": known_on,
        "known_at": known_at,
        "is_past": bool(at or known_on) and day != today(),
        "faults": [fault for fault in (at_fault, known_fault) if fault],
        "was": reads.was_on(shown, day, known_at),
        "positions": reads.positions_on(shown, day, known_at),
        "used": reads.use_by_month(shown, day, known_at),
    }
    return render(request, "fleet/aircraft/aircraft.html", context)
