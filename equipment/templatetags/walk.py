"""What walk-rounds offer to pages: a way to begin one."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

from django import template
from django.urls import NoReverseMatch, reverse

from fleet.house.desks import may

register = template.Library()


@register.simple_tag(takes_context=True)
def walk_way(context: dict[str, Any], registration: str) -> str:
    """The address where a walk-round of an aircraft begins; empty if one may not."""
    if not may(context.get("user"), "walk_round"):
        return ""
    try:
        return f"{reverse('equipment:walk_rounds')}?{urlencode({'aircraft': registration})}"
    except NoReverseMatch:
        return ""
