"""The events of a calendar: each check, and what falls due on a day of each aircraft. Three questions."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from itertools import groupby
from typing import Any

from django.urls import reverse

from fleet.models import Check
from scheduling.engine.basis.bands import Band
from scheduling.models import DueItem

from .writing import Event

#: So far back and ahead a calendar looks.
BACK, AHEAD = timedelta(days=60), timedelta(days=550)
#: So many works are named of one day; the rest is counted.
NAMED = 12


def events_of(day: date, aircraft_id: int | None, absolute: Callable[[str], str]) -> list[Event]:
    """Checks and due dates around a day: of one aircraft, or of all."""
    return [*_checks(day, aircraft_id, absolute), *_due(day, aircraft_id, absolute)]


def _checks(day: date, aircraft_id: int | None, absolute: Callable[[str], str]) -> list[Event]:
    rows = Check.objects.filter(ends_on__gte=day - BACK, starts_on__lte=day + AHEAD)
    if aircraft_id is not None:
        rows = rows.filter(aircraft=aircraft_id)
    rows = rows.select_related("aircraft", "station").order_by("starts_on", "pk")
    return [
        Event(
            uid=f"check-{each.pk}@greenband",
            starts_on=each.starts_on,
            ends_on=each.ends_on,
            summary=f"{each.aircraft} {each.name} at {each.station.code}",
            description=each.get_sort_display().capitalize(),
            location=each.station.name,
            url=absolute(reverse("scheduling:plan_check", args=[each.pk])),
            is_cancelled=each.is_cancelled,
        )
        for each in rows
    ]


def _due(day: date, aircraft_id: int | None, absolute: Callable[[str], str]) -> list[Event]:
    rows = DueItem.objects.filter(due_on__gte=day - BACK, due_on__lte=day + AHEAD)
    rows = rows.exclude(band=Band.QUIET).exclude(aircraft=None)
    if aircraft_id is not None:
        rows = rows.filter(aircraft=aircraft_id)
    told = rows.order_by("aircraft__registration", "due_on", "limit__code", "pk").values_list(
        "aircraft__registration",
        "due_on",
        "work__name",
        "limit__code",
        "unit__part_number__number",
        "unit__serial_number",
        "aircraft_id",
    )
    return [
        _of_day([*group], absolute) for _, group in groupby(told, key=lambda row: (row[6], row[1]))
    ]


def _of_day(rows: list[Any], absolute: Callable[[str], str]) -> Event:
    registration, on, *_, key = rows[0]
    named = [
        f"{work}, {limit}{f': {part} S/N {serial}' if part else ''}"
        for _, _, work, limit, part, serial, _ in rows[:NAMED]
    ]
    if len(rows) > NAMED:
        named.append(f"and {len(rows) - NAMED} more")
    return Event(
        uid=f"due-{key}-{on:%Y%m%d}@greenband",
        starts_on=on,
        ends_on=on,
        summary=f"{registration}: last day of {len(rows)} work{'' if len(rows) == 1 else 's'}",
        description="\n".join(named),
        url=absolute(f"{reverse('scheduling:due_list')}?aircraft={registration}"),
    )
