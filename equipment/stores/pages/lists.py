"""The clerk's day, the scanner, and the lists of the stores."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from equipment.common.pages.person import person
from equipment.stores.reads import day_sections, scans
from equipment.stores.reads.bins import bins
from equipment.stores.reads.clerk_day import ClerkDay, clerk_day, to_hand_out, waiting_in_stock
from equipment.stores.reads.owed import owed, totals
from equipment.stores.reads.shop_loop import at_shops, ended_orders, loop_history
from equipment.stores.reads.stock import MOST_ROWS, STATES, StockAsked, counts, stock
from equipment.stores.reads.worth import worth_of
from fleet.house.pages import reader, today
from fleet.models import Station
from fleet.offers.page import About
from fleet.screens.filter_forms import options_now

from .act_forms import StockForm
from .parts import page

#: Under which name a session keeps the station that its clerk works at.
STATION = "stores_station"
#: Rows of a page of the stock.
ON_A_PAGE = 100


@require_safe
@never_cache
@reader
def stores_day(request: HttpRequest) -> HttpResponse:
    """What waits at a station, or everywhere, each line with its one next act; the focus waits for a code."""
    station = _own_station(request)
    day = clerk_day(today=today(), at=timezone.now(), station=station, most=day_sections.MOST_SHOWN)
    context = {
        "sections": day_sections.sections(day, station),
        "stations": day_sections.stations(),
        "station": station,
    }
    return page(request, "equipment/stores/lists/day.html", "receive_unit", context)


@require_safe
@never_cache
@reader
def stores_scan(request: HttpRequest) -> HttpResponse:
    """To the page of the one next act for what was scanned; to receiving if it is not with us."""
    return redirect(scans.next_page(request.GET.get("code", ""), today()))


@require_safe
@never_cache
@reader
def stores_which(request: HttpRequest) -> HttpResponse:
    """A code that may mean several things: which of them, each with its one next act."""
    code = request.GET.get("code", "")[: scans.MOST_CODE]
    context = {"code": code, "meanings": scans.meanings(code, today())}
    return page(request, "equipment/stores/lists/which.html", "receive_unit", context)


@require_safe
@never_cache
@reader
def stores_waiting(request: HttpRequest) -> HttpResponse:
    """All that lies in stock and waits for a person: to inspect, to send, papers to clear."""
    return _lists(request, "Waiting in stock", waiting_in_stock, "inspect", "quarantine", "send")


@require_safe
@never_cache
@reader
def stores_set_aside(request: HttpRequest) -> HttpResponse:
    """What is set aside and to be issued, what is issued and not fitted, and what waits to be set aside."""
    return _lists(request, "Set aside and issue", to_hand_out, "issue", "issued", "set-aside")


def _own_station(request: HttpRequest) -> str:
    """The station asked for, which is kept while one is signed in; else the one kept; else the person's own. Empty:
    everywhere."""
    if "station" in request.GET:
        station = day_sections.known_station(request.GET["station"])
        if request.session.get(STATION) != station:
            request.session[STATION] = station
        return station
    if (kept := request.session.get(STATION)) is not None:
        return day_sections.known_station(kept)
    home = person(request).home_station
    return home.code if home else ""


def _lists(
    request: HttpRequest, title: str, read: Callable[..., ClerkDay], *codes: str
) -> HttpResponse:
    """The sections of these codes, of a part of the day that has them."""
    station = _own_station(request)
    day = read(today=today(), at=timezone.now(), station=station)
    found = list(day_sections.first_of(day_sections.sections(day, station), *codes))
    context = {"title": title, "sections": found, "station": station}
    return page(request, "equipment/stores/lists/waiting.html", "issue_unit", context)


@require_safe
@never_cache
@reader
def stores_stock(request: HttpRequest) -> HttpResponse:
    """The stock by station, store, bin and state, a page at a time."""
    form = StockForm(request.GET, options_now(StockAsked))
    context: dict[str, object] = {}
    if form.is_valid():
        asked: StockAsked = form.asked()
        every = stock(replace(asked, state=""), on=today(), at=timezone.now(), most=MOST_ROWS)
        number, state = counts(every), asked.state
        rows = [row for row in every if not state or row.state == state]
        context["rows"] = Paginator(rows, ON_A_PAGE).get_page(request.GET.get("page"))
        context["worth"] = worth_of(rows)
        context["most"] = MOST_ROWS if len(every) == MOST_ROWS else None
        context["states"] = [(code, word, number[code], code == state) for code, word in STATES]
    return page(request, "equipment/stores/lists/stock.html", "stow_unit", context, form)


def about_bins(request: HttpRequest) -> About:
    """Every bin, a page at a time; a station and a bin may stand in the address, as the list has them."""
    asked = request.GET.get("station", "")[:8]
    station = Station.objects.filter(code=asked).first()
    return About(
        starts={"station": station, "bin": request.GET.get("bin", "")[:80]},
        back=reverse("equipment:stores_bins"),
        shown=lambda: {"bins": Paginator(bins(), ON_A_PAGE).get_page(request.GET.get("page"))},
    )


@require_safe
@never_cache
@reader
def stores_shop(request: HttpRequest) -> HttpResponse:
    """What is at the shops, the latest first, and what is known of their turn times and prices."""
    context = {"orders": at_shops(today()), "loop": loop_history(), "ended": ended_orders()}
    return page(request, "equipment/stores/lists/shop.html", "send_to_shop", context)


@require_safe
@never_cache
@reader
def stores_owed(request: HttpRequest) -> HttpResponse:
    """Loans and cores that must go back, and what others have of us, the soonest first."""
    every = owed(today())
    context = {"owed": every, "totals": totals(every)}
    return page(request, "equipment/stores/lists/owed.html", "send_to_shop", context)
