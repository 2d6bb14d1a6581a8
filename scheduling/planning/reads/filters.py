"""By what the plan is narrowed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from fleet.acts.fields import choice, code_of
from fleet.drawing.time import month_after
from fleet.models import Aircraft, Station

MONTHS = (("2", "2 months"), ("4", "4 months"), ("12", "12 months"))
USUAL = "4"


def _codes(
    model: type[Aircraft] | type[Station], column: str
) -> Callable[[], list[tuple[str, str]]]:
    return lambda: [
        (code, code) for code in model.objects.order_by(column).values_list(column, flat=True)
    ]


@dataclass(frozen=True, slots=True)
class PlanAsked:
    """Which aircraft, and how far ahead."""

    aircraft: str = code_of(
        "Aircraft",
        Aircraft,
        "registration",
        "aircraft",
        10,
        choices=_codes(Aircraft, "registration"),
        help="A registration.",
    )
    station: str = code_of(
        "Station",
        Station,
        "code",
        "station",
        8,
        choices=_codes(Station, "code"),
        help="Aircraft that belong to this station.",
    )
    months: str = choice("Ahead", MONTHS, default=USUAL, what="span", help="How many months ahead.")


def aircraft_asked(asked: PlanAsked) -> list[Aircraft]:
    """The aircraft asked for, by registration. One question."""
    rows = Aircraft.objects.select_related("station").order_by("registration")
    if asked.aircraft:
        rows = rows.filter(registration=asked.aircraft.upper())
    if asked.station:
        rows = rows.filter(station__code=asked.station.upper())
    return list(rows)


def until_asked(asked: PlanAsked, today: date) -> date:
    """The last day of the span: the same day so many months on, or the first behind it."""
    return month_after(today, int(asked.months) + (today.day > 1))
