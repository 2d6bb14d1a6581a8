"""One's own calendar addresses; and the calendar itself, for whoever has the secret."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from equipment.common.pages.person import person
from fleet.doors.tokens import digest_of
from fleet.house.desks import may
from fleet.house.pages import reader, today
from scheduling.models import CalendarAddress

from .events import events_of
from .writing import calendar_of


@require_safe
@never_cache
@reader
def addresses(request: HttpRequest) -> HttpResponse:
    """Those in use first."""
    rows = CalendarAddress.objects.filter(user=person(request)).select_related("aircraft")
    context = {"rows": sorted(rows, key=lambda each: (each.withdrawn_at is not None, -each.pk))}
    return render(request, "scheduling/calendar/addresses.html", context)


@require_safe
@never_cache
def feed(request: HttpRequest, secret: str) -> HttpResponse:
    """The calendar of an address that stands, of a person who may still read; else nothing is said of why."""
    rows = CalendarAddress.objects.select_related("user", "aircraft")
    found = rows.filter(digest=digest_of(secret[:100]), withdrawn_at=None).first()
    if found is None or not found.user.is_active or not may(found.user, "read"):
        words = "There is no calendar at this address, or no more."
        return HttpResponse(words, status=404, content_type="text/plain; charset=utf-8")
    name = f"{found.aircraft or 'Fleet'}: checks and due dates"
    events = events_of(today(), found.aircraft_id, request.build_absolute_uri)
    answer = HttpResponse(
        calendar_of(name, events, timezone.now()), content_type="text/calendar; charset=utf-8"
    )
    answer["Content-Disposition"] = 'inline; filename="greenband.ics"'
    answer["X-Robots-Tag"] = "noindex"
    return answer
