"""The pages of a stock-take: those there are, the one that is scanned into, its differences."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest
from django.shortcuts import get_object_or_404
from django.urls import reverse

from equipment.common.wording import unit_words
from equipment.models import StockTake, StockTakeScan, Unit
from fleet.offers.page import About, Done

from .reads import standing, take_words

MOST_LISTED = 50
MOST_LINES = 20


def about_counts(request: HttpRequest) -> About:
    """The stock-takes, the open ones first."""
    return About(back=reverse("equipment:stores"), shown=lambda: {"counts": _listed()})


def _listed() -> list[dict[str, Any]]:
    rows = StockTake.objects.select_related("station", "begun_by", "ended_by")
    found = [
        *rows.filter(ended_at=None).order_by("begun_at", "pk"),
        *rows.exclude(ended_at=None).order_by("-ended_at", "-pk")[:MOST_LISTED],
    ]
    return [{"take": take, "words": take_words(take)} for take in found]


def take_or_404(take_id: int) -> StockTake:
    return get_object_or_404(
        StockTake.objects.select_related("station", "begun_by", "ended_by"), pk=take_id
    )


def about_count(request: HttpRequest, take_id: int) -> About:
    """The stock-take of the address; 404 if there is none."""
    take = take_or_404(take_id)
    return About(
        given={"take_id": take.pk},
        subject=take_words(take),
        back=reverse("equipment:stores_count", args=[take.pk]),
        back_label="Back to the stock-take",
        shown=lambda: _shown(take),
    )


def _shown(take: StockTake) -> dict[str, Any]:
    lines = take.scans.select_related("unit__part_number", "scanned_by").order_by("-pk")
    settled = take.settlements.select_related("unit__part_number", "scan", "settled_by")
    return {
        "standing": standing(take),
        "lines": list(lines[:MOST_LINES]),
        "settled": list(settled.order_by("-pk")),
    }


def about_difference(request: HttpRequest, take_id: int) -> About:
    """The difference that the query names: a unit's, or the line of an unknown code."""
    about = about_count(request, take_id)
    unit_id, scan_id = _key(request, "unit"), _key(request, "scan")
    unit = Unit.objects.select_related("part_number").filter(pk=unit_id or 0).first()
    scan = StockTakeScan.objects.filter(pk=scan_id or 0, stock_take=take_id).first()
    found = standing(take_or_404(take_id)).differs
    told = next(
        (e for e in found if (unit_id and e.unit_id == unit_id) or (e.scan_id == scan_id)), None
    )
    return About(
        given={
            **about.given,
            "unit_id": unit.pk if unit else None,
            "scan_id": scan.pk if scan and not unit else None,
        },
        subject=told.words if told else unit_words(unit) if unit else "",
        lead=told.heading if told else "Nothing differs there now.",
        back=about.back,
        back_label=about.back_label,
    )


def _key(request: HttpRequest, name: str) -> int | None:
    text = request.GET.get(name, "")
    return int(text) if text.isascii() and text.isdigit() and len(text) < 19 else None


def line_words(done: Done) -> str:
    """What is said after a scan."""
    unit = done.made.unit
    if unit is None:
        return f"“{done.made.code}” means no unit on record: it is kept as a difference."
    return f"{unit_words(unit)} is counted."
