"""Filters and tags that every screen speaks and draws with. See :mod:`fleet.drawing`."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from typing import Any

from django import template
from django.conf import settings
from django.http import QueryDict
from django.urls import reverse

from fleet.drawing import cabin, chart, checks, lifeline, states
from fleet.drawing.time import Scale, row_scale
from fleet.house import pages
from fleet.house.disk import is_short_of_room
from fleet.models import Authorisation, Operator, User
from fleet.screens.ways import is_by_thumb, ways_of
from fleet.words import said

register = template.Library()

register.filter("day", said.day_words)
register.filter("weekday", said.weekday_words)
register.filter("month", said.month_words)
register.filter("dated", said.dated_words)
register.filter("count", said.count_words)
register.filter("hours", said.hours_words)
register.filter("left", said.left_words)
register.filter("remaining", said.remaining_words)
register.filter("moment", said.moment_words)
register.filter("clock", said.clock_words)


@register.filter
def act_word(code: str) -> str:
    """What an authorisation allows, in words."""
    return dict(Authorisation.ACTS).get(code, code)


@register.inclusion_tag("fleet/drawing/_state.html")
def state(code: str, word: str = "") -> dict[str, Any]:
    """A state as shape and word; ``word`` where the place wants its own (a check's name)."""
    shown = states.state_of(code)
    return {"state": shown, "word": word or shown.word}


@register.inclusion_tag("fleet/drawing/_shape.html")
def shape(code: str) -> dict[str, Any]:
    """The shape alone, where the word stands beside it."""
    return {"code": code}


@register.inclusion_tag("fleet/drawing/life/_row.html")
def life_row(line: lifeline.LifeLine, scale: Scale | None = None) -> dict[str, Any]:
    """A life line the height of a table row, on the scale that all rows share."""
    return {"line": lifeline.drawn(line, scale or row_scale(line.today))}


@register.inclusion_tag("fleet/drawing/life/_axis.html")
def life_axis(today: date) -> dict[str, Any]:
    """The axis over a column of life lines."""
    scale = row_scale(today)
    return {"marks": scale.marks(3), "now": scale.x(today), "today": today}


@register.inclusion_tag("fleet/drawing/life/_sheet.html")
def life_sheet(lines: list[lifeline.LifeLine], today: date) -> dict[str, Any]:
    """Life lines one below the other on a scale of their own, the deciding one first."""
    is_now = today == pages.today()
    return {"sheet": lifeline.sheet(list(lines), today), "is_now": is_now}


@register.inclusion_tag("fleet/drawing/_cabin_plan.html")
def cabin_plan(plan: cabin.Plan, places: Iterable[cabin.Place], label: str) -> dict[str, Any]:
    """An aircraft type seen from above: wide for a desk, tall for a hand; only one is shown."""
    found = list(places)
    return {
        "drawings": [cabin.cabin_plan(plan, found), cabin.cabin_plan(plan, found, is_tall=True)],
        "label": label,
    }


@register.inclusion_tag("fleet/drawing/_check_line.html")
def check_line(planned: list[checks.PlannedCheck], today: date) -> dict[str, Any]:
    """An aircraft's coming checks on a time line."""
    return {"line": checks.check_line(list(planned), today)}


@register.inclusion_tag("fleet/drawing/_chart.html")
def month_bars(months: list[tuple[date, float]], unit: str, decimals: int = 0) -> dict[str, Any]:
    """Amounts month by month, as bars."""
    return {"chart": chart.chart(list(months), unit, decimals)}


@register.simple_tag(takes_context=True)
def query(context: dict[str, Any], **changes: Any) -> str:
    """The address's query with some values changed; an empty value takes the name out."""
    request = context.get("request")
    values: QueryDict = request.GET.copy() if request else QueryDict(mutable=True)
    for name, value in changes.items():
        values.pop(name, None)
        if value not in (None, ""):
            values.setlist(name, value if isinstance(value, list) else [value])
    return "?" + values.urlencode()


@register.simple_tag(takes_context=True)
def ways(context: dict[str, Any]) -> list[dict[str, Any]]:
    """The main navigation of the person: address, label, and whether we are in it."""
    user, match = context.get("user"), getattr(context.get("request"), "resolver_match", None)
    here = match.view_name if match else ""
    found = ways_of(user.acting_roles) if isinstance(user, User) else []
    exact = any(way.page == here for way in found)
    within = next((way.page for way in found if not exact and way.is_of(here)), "")
    return [
        {
            "href": reverse(way.page),
            "label": way.label,
            "is_here": way.page == here,
            "is_within": way.page == within,
        }
        for way in found
    ]


@register.simple_tag(takes_context=True)
def main_pages(context: dict[str, Any]) -> set[str]:
    """The names of the pages that the main navigation of the person has: further ways leave them out."""
    user = context.get("user")
    return {way.page for way in ways_of(user.acting_roles)} if isinstance(user, User) else set()


@register.simple_tag(takes_context=True)
def ways_by_thumb(context: dict[str, Any]) -> bool:
    """Whether the ways stand at the foot of a phone, for whoever works beside the aircraft."""
    user = context.get("user")
    return isinstance(user, User) and is_by_thumb(user.acting_roles)


@register.simple_tag(takes_context=True)
def unread_notices(context: dict[str, Any]) -> int:
    """How many notices wait for the person who looks at the page."""
    user = context.get("user")
    return user.notices.filter(read_at=None, is_shown=True).count() if isinstance(user, User) else 0


@register.simple_tag
def operator_name() -> str:
    """Whose house this is; blank where nobody has said so."""
    return Operator.objects.values_list("name", flat=True).first() or ""


@register.simple_tag
def printed_at() -> datetime:
    """When the page was made, in the zone that the operator reckons in: said on paper."""
    return datetime.now(pages.zone())


@register.simple_tag
def idle_minutes() -> int:
    """After how many minutes a browser that nobody touches is locked; 0: never."""
    return int(settings.IDLE_MINUTES)


@register.simple_tag
def shows_demonstration() -> bool:
    """Whether what is shown is the invented demonstration. Said unless the operator switched it off."""
    return bool(getattr(settings, "SHOWS_DEMONSTRATION", True))


@register.simple_tag
def short_of_room() -> bool:
    """Whether the disk will soon be full, so that everybody may know before records are refused."""
    return is_short_of_room()
