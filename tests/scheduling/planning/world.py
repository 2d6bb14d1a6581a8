"""An aircraft with slides behind doors and checks ahead of them, on the day that the house calls today."""

from __future__ import annotations

from datetime import date, timedelta
from uuid import uuid4

from django.utils import timezone

from fleet.house.pages import today
from fleet.models import Aircraft, Check, Station, TypePosition
from scheduling.models import DueItem, PlanningRule
from scheduling.reckoning.bulk import recompute_all
from tests import builders as build
from tests.scheduling.rules import a_rule, done, every, follows

DOORS = ("D1L-SLIDE", "D1R-SLIDE", "D2L-SLIDE")


def in_days(days: int) -> date:
    return today() + timedelta(days=days)


def an_aircraft(*positions: str, access: str = "DOOR 1") -> Aircraft:
    """One that follows the programme; positions whose name begins with D1 are behind one access."""
    made = follows(build.an_aircraft(*(positions or DOORS)))
    behind = TypePosition.objects.filter(aircraft_type=made.aircraft_type, code__startswith="D1")
    behind.update(access_group=access)
    return made


def overhauls():
    """Each unit a year after its last overhaul."""
    return a_rule("SL-OH", every(12), work="OVERHAUL")


def due_in(aircraft: Aircraft, position: str, days: int, part=None):
    """A unit at a position whose overhaul runs out in so many days."""
    unit = build.a_unit(part)
    build.installed(unit, build.at_position(aircraft, position), "2020-01-05")
    last = in_days(days)
    done("OVERHAUL", last.replace(year=last.year - 1).isoformat(), unit_id=unit.pk)
    return unit


def a_check(aircraft: Aircraft, days: int, name: str, **more) -> Check:
    values = {
        "aircraft": aircraft,
        "name": name,
        "starts_on": in_days(days),
        "ends_on": in_days(days + 2),
        "station": aircraft.station,
    }
    return Check.objects.create(**values | more)


def reckoned() -> None:
    """The stored list, as of today."""
    recompute_all(as_of=today(), now=timezone.now(), why="test")


def stated(margin: int = 0, opening: int = 0, life: int = 0) -> PlanningRule:
    return PlanningRule.objects.create(
        act_id=uuid4(),
        margin_days=margin,
        opening_price=opening,
        life_price=life,
        stated_at=timezone.now(),
        stated_by=build.a_person("controller"),
    )


def item_of(unit) -> DueItem:
    return DueItem.objects.get(unit=unit)


def a_hangar(*works: str) -> Station:
    made = build.a_station()
    made.abilities = list(works)
    made.save()
    return made
