"""The pictures, each with its numbers beneath it, and those as files."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from equipment.common.listing import Listing
from equipment.common.pages.listed import listed
from fleet.drawing.bars import FILLINGS, spans, stacks
from fleet.house.pages import reader, today
from fleet.words.said import MONTHS, count_words, day_words

from . import listings
from .reads.early import Early, early_changes
from .reads.months import Ahead, months_ahead
from .reads.reliability import Reliability, reliability
from .reads.trend import Trend, overdue_trend

#: So many kinds have a filling of their own; the rest is drawn together.
KINDS = len(FILLINGS) - 1
#: So many part numbers are drawn and listed on the page; a file has all of them.
PARTS = 40
#: How tall a line of the drawing of intervals is, px.
ROW = 26


@dataclass(frozen=True, slots=True)
class Picture:
    """One picture: its code in addresses, its title, what it is of, its template, what is drawn, its numbers as a file."""

    code: str
    title: str
    what: str
    template: str
    shown: Callable[[date], dict[str, Any]]
    listing: Callable[[date, str], Listing]


def _month(day: date) -> str:
    return f"{MONTHS[day.month - 1]} {day.year % 100:02d}"


def ahead_shown(day: date) -> dict[str, Any]:
    """A bar for each month: works due by kind; on it how many are planned at that month's checks."""
    told: Ahead = months_ahead(day)
    kinds, others = told.kinds[:KINDS], told.kinds[KINDS:]
    parts = [
        (kind, FILLINGS[at], [month.due.get(kind, 0) for month in told.months])
        for at, kind in enumerate(kinds)
    ]
    if others:
        rest = [sum(month.due.get(kind, 0) for kind in others) for month in told.months]
        parts.append(("all other kinds", FILLINGS[-1], rest))
    labels = [_month(month.month) for month in told.months]
    marks = [
        (month.placed, f"{label}: {month.placed} planned at its checks")
        for label, month in zip(labels, told.months, strict=True)
    ]
    return {
        "ahead": told,
        "bars": stacks(labels, parts, marks),
        "key": [(name, filling) for name, filling, _ in parts],
        "unit": "jobs",
        "mark_word": "planned at the checks that begin in that month",
        "rows": [(month, [month.due.get(kind, 0) for kind in told.kinds]) for month in told.months],
    }


def early_shown(day: date) -> dict[str, Any]:
    """A bar for each month: days of life thrown away."""
    told: Early = early_changes(day)
    labels = [_month(month) for month in told.months]
    return {
        "early": told,
        "parts": told.parts[:PARTS],
        "more": max(len(told.parts) - PARTS, 0),
        "bars": stacks(labels, [("days thrown away", "rising", told.days_by_month)]),
        "key": [],
        "unit": "days",
        "total": sum(told.days_by_month),
    }


def trend_shown(day: date) -> dict[str, Any]:
    """A bar for each day that was counted: overdue and unserviceable, one on the other."""
    told: Trend = overdue_trend(day)
    parts = [
        ("overdue", "overdue", [row.overdue for row in told.rows]),
        ("unserviceable", "rising", [row.unserviceable for row in told.rows]),
        ("data missing", "dots", [row.no_basis for row in told.rows]),
    ]
    every = max(len(told.rows) // 12, 1)
    labels = [
        day_words(row.day).rsplit(" ", 1)[0] if at % every == 0 else ""
        for at, row in enumerate(told.rows)
    ]
    return {
        "trend": told,
        "bars": stacks(labels, parts),
        "key": [(name, filling) for name, filling, _ in parts],
        "unit": "items",
    }


def reliability_shown(day: date) -> dict[str, Any]:
    """A line for each part number: the mean time between unplanned removals with its interval."""
    told: Reliability = reliability(day)
    parts = [part for part in told.parts if part.hours_between][:PARTS]
    ends = [
        (part.least_if_unsaid or found.least, part.mean_hours, found.most)
        for part in parts
        for found in [part.hours_between]
        if found
    ]
    drawn, scale = spans(ends)
    return {
        "record": told,
        "drawn": [
            (part, span, at * ROW) for at, (part, span) in enumerate(zip(parts, drawn, strict=True))
        ],
        "scale": scale,
        "tall": (len(drawn) + 1) * ROW,
        "parts": told.parts[:PARTS],
        "more": max(len(told.parts) - PARTS, 0),
        "unread_words": count_words(told.unread),
    }


PICTURES = (
    Picture(
        "ahead",
        "The months ahead",
        "Works by the month of their last day and by kind, and what the planned checks take.",
        "scheduling/pictures/ahead.html",
        ahead_shown,
        listings.ahead_listing,
    ),
    Picture(
        "early",
        "Life thrown away",
        "Days between a work and the day on which its limit would have run out, a year of works.",
        "scheduling/pictures/early.html",
        early_shown,
        listings.early_listing,
    ),
    Picture(
        "overdue",
        "Overdue",
        "What was past its limit, not serviceable or without a basis, day by day.",
        "scheduling/pictures/overdue.html",
        trend_shown,
        listings.trend_listing,
    ),
    Picture(
        "reliability",
        "Reliability",
        "Removals by cause and unplanned removals in a thousand hours, of two years.",
        "scheduling/pictures/reliability.html",
        reliability_shown,
        listings.reliability_listing,
    ),
)
BY_CODE = {picture.code: picture for picture in PICTURES}


def _asked(code: str) -> Picture:
    if code not in BY_CODE:
        raise Http404("There is no such picture.")
    return BY_CODE[code]


@require_safe
@never_cache
@reader
def picture_page(request: HttpRequest, code: str) -> HttpResponse:
    """One picture with its numbers."""
    picture, day = _asked(code), today()
    context = {"picture": picture, "pictures": PICTURES, "today": day, **picture.shown(day)}
    return render(request, picture.template, context)


@require_safe
@never_cache
@reader
def picture_file(request: HttpRequest, code: str, form: str) -> HttpResponse:
    """The numbers of a picture on paper, as a workbook or CSV."""
    picture = _asked(code)
    address = request.build_absolute_uri(reverse("scheduling:picture", args=[code]))
    return listed(request, form, lambda: picture.listing(today(), address))
