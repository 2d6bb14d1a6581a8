"""Small reads of the pages: counts by aircraft, the programme of a day."""

from __future__ import annotations

from collections import Counter
from datetime import date, datetime

from django.db.models import Count

from scheduling.due.due_list import counts_by_aircraft
from scheduling.due.lists.rows import BANDS
from scheduling.models import DueItem, ProgrammeOfAircraft


def bands_by_aircraft(as_of: date) -> dict[int, dict[str, int]]:
    """How many due items of each aircraft are in each band: those stored, and what is open on a day."""
    found: dict[int, dict[str, int]] = {}
    counted = DueItem.objects.filter(aircraft__isnull=False).values_list("aircraft_id", "band")
    counts = Counter({row[:2]: row[2] for row in counted.annotate(count=Count("pk")).order_by()})
    for (aircraft_id, band), count in (counts + counts_by_aircraft(as_of)).items():
        if band < len(BANDS):  # beyond them is what no clock runs for
            found.setdefault(aircraft_id, {})[BANDS[band][0]] = count
    return found


def programme_on(
    aircraft_id: int, day: date, known_at: datetime | None = None
) -> ProgrammeOfAircraft | None:
    """Which programme the aircraft follows on a day, from when, as the records said at ``known_at``."""
    followed = ProgrammeOfAircraft.objects.filter(aircraft_id=aircraft_id, from_on__lte=day)
    if known_at:
        followed = followed.filter(recorded_at__lte=known_at)
    return followed.select_related("programme").order_by("-from_on", "-pk").first()
