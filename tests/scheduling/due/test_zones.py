"""No day moves by where it is said: the same facts by their days give the same list, whichever zones the operator
reckons in and the aircraft is based in."""

from __future__ import annotations

from datetime import date, timedelta
from uuid import uuid4
from zoneinfo import ZoneInfo

import pytest

from equipment.keeping.record import record_movements
from equipment.ledger.facts import MovementFact, PlaceAt, When
from fleet.house.pages import end_of
from fleet.models import Measure, UtilisationReading
from fleet.utilisation.acts.readings import NewReading, record_readings
from scheduling.due.due_list import due_page, explanation
from scheduling.due.lists.filters import DueFilters
from scheduling.models import Limit
from tests import builders as build
from tests.scheduling.rules import DAY, Runs, a_rule, done, every, follows, on_another_day, reckon

pytestmark = pytest.mark.django_db
ZONES = ("America/Los_Angeles", "Pacific/Honolulu", "UTC", "Europe/Berlin", "Pacific/Auckland")
HOUR = 60


def moved(unit, sort: str, to: PlaceAt, on: str, zone: str) -> None:
    fact = MovementFact(unit.pk, sort, to, When.on(build.day(on), zone))
    record_movements(by=build.a_person("controller"), rows=[fact], act_id=uuid4(), at=build.NOW)


def read(aircraft, measure: Measure, on: date, hours: int, zone: str) -> None:
    at = end_of(on, ZoneInfo(zone))
    row = NewReading(aircraft.pk, measure.pk, at, hours * HOUR, act_id=uuid4())
    record_readings(by=build.a_person("controller"), rows=[row], now=build.NOW + timedelta(days=2))


def a_world(zone: str) -> None:
    """Facts by their days in one zone: fitted, off, on again after days in store; ten hours a day; a work."""
    station = build.a_station(zone=zone)
    kind = build.a_kind("SLIDE")
    part = build.a_part(kind=kind)
    of_type = build.an_aircraft_type("D1L", "D1R", kind=kind)
    aircraft = follows(build.an_aircraft(of_type=of_type, station=station))
    left, right = build.at_position(aircraft, "D1L"), build.at_position(aircraft, "D1R")
    hours = Measure.objects.create(
        code="FH", name="Flight hours", unit="minutes", counted_on="aircraft"
    )
    for on, total in (("2027-01-01", 9_000), ("2027-03-03", 9_610), ("2027-05-30", 10_490)):
        read(aircraft, hours, build.day(on), total, zone)
    worn, stored = (
        build.a_unit(part, serial_number=serial, manufactured_on=build.day("2026-11-30"))
        for serial in ("WORN", "STORED")
    )
    moved(worn, "installed", left, "2027-01-31", zone)
    moved(stored, "received", build.in_store(station), "2027-01-01", zone)
    moved(stored, "installed", right, "2027-02-28", zone)
    moved(stored, "removed", build.in_store(station), "2027-03-31", zone)
    moved(stored, "installed", right, "2027-05-01", zone)
    done("OVERHAUL", "2027-04-30", unit_id=worn.pk)
    a_rule("MONTHS", every(12, first_from="manufacture"), work="OVERHAUL")
    a_rule("FITTED", Runs("days", [(100, "any")], {"counts_from": "this_installation"}))
    a_rule(
        "INSTALLED",
        Runs("days", [(200, "any")], {"counts_from": "manufacture", "runs": "installed"}),
    )
    a_rule("HOURS", Runs("FH", [(1_500 * HOUR, "any")], {"counts_from": "this_installation"}))


def the_list() -> dict[tuple[str, str], tuple[object, ...]]:
    rows = due_page(filters=DueFilters(), as_of=DAY, limit=200).rows
    assert rows
    return {
        (row.limit, row.serial_number): (
            row.band,
            row.due_on,
            row.start_on,
            row.left_days,
            row.due_at_minutes,
            row.left_minutes,
            *(
                step.replace(row.registration, "Q-")
                for step in explanation(item_id=row.id, as_of=DAY).steps
            ),
        )
        for row in rows
    }


def told(settings, operator: str, zone: str) -> tuple[object, list[object]]:
    with build.undone():
        settings.GREENBAND_TODAY_ZONE = operator
        a_world(zone)
        reckon()
        codes = dict(Limit.objects.values_list("pk", "code"))
        another = sorted(
            (codes[one.limit_id], str(one.due_on), str(one.start_on), one.left_minutes)
            for one in on_another_day("2027-08-01")
        )
        assert UtilisationReading.objects.filter(is_conforming=True).count() == 3
        return the_list(), another


@pytest.mark.parametrize("operator", ZONES)
def test_the_same_facts_give_the_same_list_in_every_zone(settings, operator):
    in_utc = told(settings, "UTC", "UTC")
    assert len(in_utc[0]) >= 7
    # A unit fitted on a day counts from that day, in every figure of its pencil.
    assert any(
        "from 31 Jan 2027 (9\u202f290:00 on" in str(step) for step in in_utc[0]["HOURS", "WORN"]
    )

    for zone in ZONES:
        assert told(settings, operator, zone) == in_utc, (operator, zone)
