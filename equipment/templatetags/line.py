"""What the line offers to pages: its ways, a way to begin a swap, what stands open on an aircraft or unit."""

from __future__ import annotations

from datetime import date
from typing import Any
from urllib.parse import urlencode

from django import template
from django.template import Context
from django.urls import NoReverseMatch, reverse
from django.utils import timezone

from equipment.swaps.pages.parts import mine_context
from equipment.swaps.reads import whereabouts
from fleet.aircraft.ports import groundings_of
from fleet.house.desks import may
from fleet.models import User

register = template.Library()

WAYS = (
    ("swap_list", "Swaps"),
    ("swap_inspections", "Waiting for inspection"),
    ("walk_rounds", "Walk-rounds"),
    ("discrepancies", "Discrepancies"),
    ("open_items", "Open items"),
    ("tools", "Tools"),
)


@register.inclusion_tag("equipment/swaps/_ways.html", takes_context=True)
def line_ways(context: dict[str, Any]) -> dict[str, Any]:
    """The pages of the line, with how many wait on them; each shown where it exists."""
    match = getattr(context.get("request"), "resolver_match", None)
    here = match.url_name if match else ""
    counts = whereabouts.waiting_counts()
    ways = []
    for name, label in WAYS:
        try:
            href = reverse(f"equipment:{name}")
        except NoReverseMatch:
            continue
        ways.append(
            {"href": href, "label": label, "is_here": here == name, "count": counts.get(name)}
        )
    return {"line_ways": ways}


@register.inclusion_tag("equipment/swaps/told/_mine.html", takes_context=True)
def line_mine(context: dict[str, Any]) -> dict[str, Any]:
    """What waits for this person on the line, asked again every few seconds; nothing for a desk."""
    user = context.get("user")
    if not isinstance(user, User) or not may(user, "enter_step"):
        return {}
    return mine_context(user, timezone.now())


@register.simple_tag(takes_context=True)
def swap_way(context: dict[str, Any], **asked: Any) -> str:
    """The address where a swap begins from a due item, position or unit; empty if one may not."""
    if not may(context.get("user"), "open_swap"):
        return ""
    query = urlencode({name: value for name, value in asked.items() if value})
    try:
        return f"{reverse('equipment:swap_start')}?{query}"
    except NoReverseMatch:
        return ""


@register.inclusion_tag("equipment/swaps/_standing.html")
def swap_standing(aircraft_id: int, today: date) -> dict[str, Any]:
    """Why an aircraft is not releasable, and its open items."""
    return {
        "groundings": groundings_of([aircraft_id], today).get(aircraft_id, ()),
        "open_items": whereabouts.open_items_on(aircraft_id),
    }


@register.inclusion_tag("equipment/swaps/_of_unit.html", takes_context=True)
def swaps_of_unit(context: Context, unit_ids: list[int]) -> dict[str, Any]:
    """A unit's swaps and tags."""
    return {
        "swaps": whereabouts.swaps_of_unit(unit_ids),
        "tags": whereabouts.tags_of(unit_ids),
        "may_take_back": may(context.get("user"), "take_back_condemnation"),
    }
