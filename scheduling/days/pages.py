"""The pages where a day begins, and the one field that finds."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from equipment.common.pages.person import person
from fleet.drawing.fleet_days import fleet_days
from fleet.house.desks import may
from fleet.house.pages import reader, today
from fleet.models import Aircraft
from fleet.screens.ways import RECORDS, ways_of
from scheduling.due.since.told import since_before

from .controller import controllers_day
from .finding import LONGEST, find
from .fleet_ahead import fleet_ahead
from .line import my_work

#: So many of each sort are listed on the page of all changes.
MOST_CHANGES = 200


@require_safe
@never_cache
@reader
def start(request: HttpRequest) -> HttpResponse:
    """On to the person's own first page; in a house without aircraft to what comes next, for who sets it up.

    With a query it is an address of the due list as it was once: it leads there still.
    """
    by = person(request)
    if request.GET:
        return redirect(f"{reverse('scheduling:due_list')}?{request.GET.urlencode()}")
    if may(by, "load_sheets") and not Aircraft.objects.exists():
        return redirect(RECORDS.page)
    return redirect(ways_of(by.acting_roles)[0].page)


@require_safe
@never_cache
@reader
def today_page(request: HttpRequest) -> HttpResponse:
    """The controller's day on one page."""
    day = today()
    ahead = fleet_ahead(day)
    context = {
        "today": day,
        "day": controllers_day(day, timezone.now()),
        "fleet": fleet_days(ahead, day),
    }
    return render(request, "scheduling/days/today.html", context)


@require_safe
@never_cache
@reader
def changes_page(request: HttpRequest) -> HttpResponse:
    """All that changed on the due list since the day before, as far as anybody reads."""
    context = {"today": today(), "since": since_before(today(), MOST_CHANGES)}
    return render(request, "scheduling/days/changes.html", context)


@require_safe
@never_cache
@reader
def my_work_page(request: HttpRequest) -> HttpResponse:
    """What waits for whoever works beside the aircraft."""
    by = person(request)
    context = {
        "today": today(),
        "work": my_work(by, today(), timezone.now()),
        "may_open": may(by, "open_swap"),
        "may_release": may(by, "release_swap"),
    }
    return render(request, "scheduling/days/my_work.html", context)


@require_safe
@never_cache
@reader
def find_page(request: HttpRequest) -> HttpResponse:
    """Everything that a typed or scanned text may mean; where it means one thing, on to that."""
    text = request.GET.get("q", "").strip()[:LONGEST]
    found = find(text, person(request), today().year)
    if found.only is not None:
        return redirect(found.only.href)
    return render(request, "scheduling/days/find.html", {"text": text, "found": found})


@require_safe
@reader
def keys_page(request: HttpRequest) -> HttpResponse:
    """Every key that a page listens to, and the switch that turns them off in this browser."""
    return render(request, "scheduling/days/keys.html")
