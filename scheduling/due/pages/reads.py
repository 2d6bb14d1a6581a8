"""Small reads of the pages: what there is to filter by, counts by aircraft, the programme of a day."""

from __future__ import annotations

from datetime import date

from django.db.models import Count

from fleet.models import Aircraft, Kind, Station
from scheduling.due.lists.rows import BANDS
from scheduling.models import DueItem, ProgrammeOfAircraft, Work

from .forms import Options


def filter_options() -> Options:
    """What the due list can be filtered by, as (code, name); four queries."""
    stations = Station.objects.order_by("code").values_list("code", "name")
    return Options(
        station=[(code, f"{code}, {name}") for code, name in stations],
        aircraft=[
            (registration, registration)
            for registration in Aircraft.objects.order_by("registration").values_list(
                "registration", flat=True
            )
        ],
        kind=list(Kind.objects.order_by("name").values_list("code", "name")),
        work=list(Work.objects.order_by("name").values_list("code", "name")),
    )


def bands_by_aircraft() -> dict[int, dict[str, int]]:
    """How many stored due items of each aircraft are in each band; one query."""
    found: dict[int, dict[str, int]] = {}
    counted = DueItem.objects.filter(aircraft__isnull=False).values_list("aircraft_id", "band")
    for aircraft_id, band, count in counted.annotate(count=Count("pk")).order_by():
        if band < len(BANDS):  # beyond them is what no clock runs for
            found.setdefault(aircraft_id, {})[BANDS[band][0]] = count
    return found


def programme_on(aircraft_id: int, day: date) -> ProgrammeOfAircraft | None:
    """Which programme the aircraft follows on a day, from when."""
    followed = ProgrammeOfAircraft.objects.filter(aircraft_id=aircraft_id, from_on__lte=day)
    return followed.select_related("programme").order_by("-from_on", "-pk").first()
