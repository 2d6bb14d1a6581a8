"""Open items as a block of other pages: they fall due like any other."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import template

from equipment.findings.reads.open_items import open_rows

register = template.Library()


@register.inclusion_tag("equipment/findings/_open_items_due.html")
def open_items_due(on: date, aircraft_id: int | None = None) -> dict[str, Any]:
    """The open items of the fleet, or of one aircraft, with the days left as of a day."""
    rows, more = open_rows(on, aircraft_id)
    return {"rows": rows, "more": more}
