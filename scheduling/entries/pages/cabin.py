"""The page of an aircraft type: its doors by name, its positions on the drawn cabin, moved by buttons or dragging."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from fleet.drawing.cabin import Place
from fleet.house.desks import may
from fleet.house.pages import reader, today
from fleet.house.refusals import Refused
from fleet.loading.acts.lines import SheetLine, enter_lines
from fleet.models import AircraftType, Kind, TypePosition, User
from scheduling.entries.cabin import (
    MOST_OFF,
    STEPS,
    doors_line,
    doors_text,
    moved_line,
    position_lines,
)

LONGEST = 20_000


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@reader
def cabin(request: HttpRequest, type_id: int) -> HttpResponse:
    """One type. 422 if what was sent is refused, with what was typed."""
    of_type = get_object_or_404(AircraftType, pk=type_id)
    fault = ""
    if request.method == "POST":
        try:
            words = _done(request, of_type)
        except Refused as refused:
            fault = " ".join(dict.fromkeys(each.message for each in refused.refusals))
        else:
            messages.success(request, words)
            return redirect("scheduling:cabin", type_id=of_type.pk)
    return render(
        request,
        "scheduling/entries/cabin.html",
        _context(request, of_type, fault),
        status=422 if fault else 200,
    )


def _done(request: HttpRequest, of_type: AircraftType) -> str:
    post = request.POST
    if "doors" in post:
        _enter(request, [doors_line(of_type, post["doors"][:LONGEST])])
        return "The cabin is drawn with these doors."
    if "positions" in post:
        lines = position_lines(of_type, post["positions"][:LONGEST], post.get("kind", "")[:24])
        if not lines:
            words = "No new position is named: give one a line, its code first."
            raise Refused("no_position", words, "positions")
        _enter(request, lines)
        return f"{len(lines)} position{'s are' if len(lines) != 1 else ' is'} on record."
    position = get_object_or_404(
        TypePosition.objects.select_related("aircraft_type", "kind"),
        aircraft_type=of_type,
        pk=_whole(post.get("position", "")),
    )
    along, across = STEPS.get(post.get("step", "")) or (
        _whole(post.get("along", "0")),
        _whole(post.get("across", "0")),
    )
    _enter(request, [moved_line(position, along, across)])
    return f"{position.code} is moved."


def _whole(text: str) -> int:
    try:
        return max(min(int(text[:8]), MOST_OFF), -MOST_OFF)
    except ValueError:
        return 0


def _enter(request: HttpRequest, lines: Sequence[SheetLine]) -> None:
    assert isinstance(request.user, User)
    enter_lines(by=request.user, lines=lines, at=timezone.now(), today=today())


def _context(request: HttpRequest, of_type: AircraftType, fault: str) -> dict[str, Any]:
    positions = list(of_type.positions.select_related("kind").order_by("x_cm", "y_cm", "code"))
    return {
        "type": of_type,
        "fault": fault,
        "positions": positions,
        "places": [
            Place(
                one.code,
                one.name,
                one.x_cm,
                one.y_cm,
                "quiet",
                f"#pos-{one.pk}",
                f"{one.code}, {one.name}",
            )
            for one in positions
        ],
        "doors": request.POST.get("doors") or doors_text(of_type),
        "typed": request.POST.get("positions", ""),
        "kinds": list(Kind.objects.order_by("name")),
        "steps": [("forward", "Forward"), ("aft", "Aft"), ("left", "Left"), ("right", "Right")],
        "may_act": may(request.user, "enter_fleet_data"),  # type: ignore[arg-type]
    }
