"""A walk-round by phone: begin, one position after another, what differs at the end."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from equipment.common.pages.person import page, person
from equipment.findings.acts.walk_rounds import SEE_POSITION, START_WALK_ROUND, Sighted
from equipment.ledger.facts import PlaceAt
from equipment.models import Place
from fleet.house.desks import may
from fleet.house.pages import reader, today
from fleet.models import Aircraft
from fleet.screens.act_pages import performed

from . import reads
from .forms import SeenForm, WalkForm
from .reads import PositionShown, RoundShown


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@reader
def walk_rounds(request: HttpRequest) -> HttpResponse:
    """The walk-rounds, and where one begins."""
    form = WalkForm(request.POST or None, initial=_asked(request))
    made = performed(request, START_WALK_ROUND, form)
    if made is not None:
        return redirect(_next_of(_shown(made.pk), None))
    context = {
        "form": form,
        "rounds": reads.rounds(),
        "may_walk": may(person(request), "walk_round"),
    }
    return page(request, "equipment/findings/walk/rounds.html", context, form)


def _asked(request: HttpRequest) -> dict[str, Any]:
    """The aircraft that the address names, at its own station."""
    name = request.GET.get("aircraft", "").replace("\x00", "")[:10]
    aircraft = Aircraft.objects.filter(registration__iexact=name).first() if name else None
    home = person(request).home_station_id
    if aircraft is None:
        return {"station": home}
    return {"aircraft": aircraft, "station": aircraft.station_id or home}


@require_safe
@never_cache
@reader
def walk_round(request: HttpRequest, walk_round_id: int) -> HttpResponse:
    """A walk-round as a whole: every position, and what differs."""
    shown = _shown(walk_round_id)
    context = {
        "walk": shown,
        "next": shown.next_after(None),
        "may_walk": may(person(request), "walk_round"),
    }
    return render(request, "equipment/findings/walk/round.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@reader
def walk_position(request: HttpRequest, walk_round_id: int, position_id: int) -> HttpResponse:
    """One position: what is there is scanned or typed, then the next one."""
    shown = _shown(walk_round_id)
    position = shown.at(position_id)
    if position is None:
        raise Http404("This walk-round has no such position.")
    form = SeenForm(request.POST or None)
    done = performed(
        request,
        SEE_POSITION,
        form,
        lambda: {"seen": form.seen(today().year)},
        walk_round_id=shown.id,
        place=PlaceAt(Place.AIRCRAFT, aircraft_position_id=position.id),
    )
    if done is not None:
        _say(request, position, done)
        return redirect(_next_of(_shown(walk_round_id), position_id))
    context = {
        "walk": shown,
        "position": position,
        "form": form,
        "next": shown.next_after(position_id),
        "plate": [form["part_number_read"], form["serial_number_read"]],
        "picks": [form["gauge"], form["pin_read"]],
        "more": [form["expiry_read"], form["pressure"], form["note"]],
    }
    return page(request, "equipment/findings/walk/position.html", context, form)


def _say(request: HttpRequest, position: PositionShown, done: Sighted) -> None:
    for each in done.discrepancies:
        messages.warning(request, f"{position.code}: noted for the controller. {each.words}")
    if not done.discrepancies:
        messages.success(request, f"{position.code}: kept.")


def _shown(walk_round_id: int) -> RoundShown:
    found = reads.round_shown(walk_round_id, timezone.now())
    if found is None:
        raise Http404("There is no such walk-round.")
    return found


def _next_of(shown: RoundShown, position_id: int | None) -> str:
    """Where to go now: the same position if more is there, the next one, or the end."""
    here = shown.at(position_id) if position_id else None
    onward = here if here is not None and not here.is_seen else shown.next_after(position_id)
    if onward is None:
        return f"{reverse('equipment:walk_round', args=[shown.id])}#differences"
    return reverse("equipment:walk_position", args=[shown.id, onward.id])
