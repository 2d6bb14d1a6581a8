"""What is inside what, by every question that asks it, against a clerk who reads the whole book again.

Units are put into each other at random, as deep as it comes, and now and then two turn out to be one.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from contextlib import suppress
from datetime import date, datetime, timedelta
from functools import cache
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from equipment.keeping.merge import merge_units
from equipment.keeping.record import record_movements
from equipment.ledger.facts import MergeFact, MovementFact, PlaceAt, When
from equipment.ledger.fitted import fitted
from equipment.ledger.nesting import around_now, ever_inside, inside_at, inside_now
from equipment.models import FittedPeriod, PartPosition, Unit, UnitMerge
from fleet.house.refusals import Refused
from fleet.models import Aircraft
from scheduling.due.lists.names import INSIDE
from scheduling.facts.around import outermost
from scheduling.facts.copying import NO_DATE
from scheduling.facts.in_store import in_store
from scheduling.facts.units import SORTS, UnitSelection
from tests import builders as build
from tests.equipment.ledger.world import START, Clerk

pytestmark = [pytest.mark.slow, pytest.mark.django_db]
WORLDS, UNITS, STEPS = 4, 12, 40
FROM_TO, EPOCH = ("unit", "from_on", "to_on"), (START.date() - date(1970, 1, 1)).days
SAMPLES = (0, 7, 16, 25, 33, 39)


def day(number: int) -> datetime:
    return START + timedelta(days=number)


class Worlds:
    """The records of every unit, and what a clerk says of each moment."""

    def __init__(self) -> None:
        self.records = list(Unit.objects.order_by("pk").values_list("pk", flat=True))
        self.clerk, self.now = Clerk(), day(STEPS + 9)
        self.where = cache(lambda at: self.clerk.where(at, self.now))

    def kept(self, record: int) -> int:
        return self.clerk.kept(record, self.now)

    def outwards(self, unit: int, at: datetime) -> list[int]:
        """The unit as kept and what it is inside of at an instant, the nearest first."""
        found, where = [self.kept(unit)], self.where(at)
        while (place := self.clerk.places.get(where.get(found[-1], 0))) and place.parent_unit_id:
            found.append(self.kept(place.parent_unit_id))
        return found

    def inside(self, at: datetime) -> dict[int, set[int]]:
        """Each record's unit and all inside it at an instant."""
        around = {unit: self.outwards(unit, at) for unit in self.where(at)}
        return {
            record: {self.kept(record)}
            | {unit for unit, outer in around.items() if self.kept(record) in outer}
            for record in self.records
        }


@pytest.fixture(scope="module")
def worlds(one_stage: None) -> Worlds:
    for seed in range(WORLDS):
        _a_world(random.Random(seed))
    return Worlds()


def _a_world(rng: random.Random) -> None:
    """A few units of one part with two positions inside, one moved each day and two merged now and then."""
    by, part = build.a_person("controller", "stores"), build.a_part("", "A", "B")
    units = [build.a_unit(part, by=by) for _ in range(UNITS)]
    aircraft, station = build.an_aircraft("D1L", "D1R"), build.a_station()
    inner = list(PartPosition.objects.filter(part_number=part))
    for number in range(0, STEPS, 5):
        at = day(STEPS) + timedelta(minutes=number)
        rows = []
        for on in range(number, number + 5):
            to, sort = _somewhere(rng, units, inner, aircraft, station)
            unit = rng.choice(units).pk
            rows.append(MovementFact(unit, sort, to, When(day(on)), act_id=uuid4()))
        record_movements(by=by, rows=rows, act_id=uuid4(), at=at)
        kept, absorbed = rng.sample(units, 2)
        row = MergeFact(kept.pk, absorbed.pk, "one plate, two entries")
        with suppress(Refused):
            merge_units(by=by, rows=[row], at=at + timedelta(minutes=1))


def _somewhere(rng, units, inner, aircraft, station) -> tuple[PlaceAt, str]:
    chance = rng.random()
    if chance < 0.2:
        return build.at_position(aircraft, rng.choice(("D1L", "D1R"))), "installed"
    if chance < 0.4:
        return build.in_store(station), "removed"
    if chance < 0.45:
        return build.in_quarantine(station), "quarantined"
    outer, position = rng.choice(units), rng.choice(inner)
    return PlaceAt("inside", parent_unit_id=outer.pk, part_position_id=position.pk), "installed"


# --- what there is to be seen -----------------------------------------------------------------


def test_the_worlds_have_units_deep_inside_records_that_were_merged_away(worlds: Worlds) -> None:
    depths = [len(worlds.outwards(unit, worlds.now)) - 1 for unit in worlds.records]
    made_for = {
        worlds.clerk.places[key].parent_unit_id for key in worlds.where(worlds.now).values()
    }

    assert UnitMerge.objects.count() > WORLDS
    assert len(made_for & set(UnitMerge.objects.values_list("absorbed", flat=True))) > WORLDS
    assert max(depths) > 2


# --- inwards ----------------------------------------------------------------------------------


def test_what_is_inside_now_is_one_question_for_all_units(worlds: Worlds) -> None:
    with CaptureQueriesContext(connection) as asked:
        found = inside_now(worlds.records)

    assert len(asked) == 1
    assert {record: set(units) for record, units in found.items()} == worlds.inside(worlds.now)
    assert all(units[0] == worlds.kept(record) for record, units in found.items())
    assert all(len(set(units)) == len(units) for units in found.values())


@pytest.mark.parametrize("number", SAMPLES)
def test_what_was_inside_at_an_instant(worlds: Worlds, number: int) -> None:
    found = inside_at(worlds.records, day(number))

    assert {record: set(units) for record, units in found.items()} == worlds.inside(day(number))


def test_the_first_step_inwards_is_the_queryset(worlds: Worlds) -> None:
    now = {unit: worlds.outwards(unit, worlds.now)[1:2] for unit in worlds.where(worlds.now)}

    for record in worlds.records:
        found = Unit.objects.inside(record).values_list("pk", flat=True)
        assert set(found) == {unit for unit, outer in now.items() if outer == [worlds.kept(record)]}
    assert set(Unit.objects.inside(*worlds.records).values_list("pk", flat=True)) == {
        unit for unit, outer in now.items() if outer
    }


def test_what_was_ever_inside_is_held_with_a_unit_and_every_record_named(worlds: Worlds) -> None:
    steps = {
        (outer, unit)
        for number in range(STEPS + 1)
        for unit in worlds.where(day(number))
        for outer in worlds.outwards(unit, day(number))[1:2]
    }

    for record in worlds.records:
        ever = {worlds.kept(record)}
        while more := {unit for outer, unit in steps if outer in ever} - ever:
            ever |= more
        assert ever_inside([record]) == {record} | ever


def test_no_position_inside_a_unit_ever_holds_two_whichever_record_it_is_of(worlds: Worlds) -> None:
    for number in range(STEPS + 1):
        places = [worlds.clerk.places[key] for key in worlds.where(day(number)).values()]
        taken = [
            (worlds.kept(place.parent_unit_id), place.part_position_id)
            for place in places
            if place.parent_unit_id is not None
        ]
        assert len(set(taken)) == len(taken)


# --- outwards ---------------------------------------------------------------------------------


def test_what_is_around_now_is_one_question_for_all_units(worlds: Worlds) -> None:
    with CaptureQueriesContext(connection) as asked:
        found = around_now(worlds.records)

    assert len(asked) == 1
    assert found == {unit: worlds.outwards(unit, worlds.now) for unit in worlds.records}


def test_the_due_list_names_each_position_on_the_way(worlds: Worlds) -> None:
    where = worlds.where(worlds.now)
    places = {unit: worlds.clerk.places[place] for unit, place in where.items()}

    with connection.cursor() as cursor:
        cursor.execute(INSIDE, {"units": list(where)})
        told: dict[int, list[str]] = {}
        for unit, code in cursor.fetchall():
            told.setdefault(unit, []).append(code)

    for unit in where:
        way = [places[each] for each in worlds.outwards(unit, worlds.now) if each in places]
        codes = [place.part_position.code for place in way if place.part_position]
        assert told.get(unit, []) == codes[::-1]


def outermost_of(worlds: Worlds, unit: int, at: datetime):
    """The place that the outermost unit around one is in; None where nobody knows."""
    last = worlds.outwards(unit, at)[-1]
    return worlds.clerk.places.get(worlds.where(at).get(last, 0))


@pytest.mark.parametrize("number", SAMPLES)
def test_the_engine_is_told_the_same_place_of_what_is_inside(worlds: Worlds, number: int) -> None:
    units = list(worlds.where(day(number)))

    found = outermost(units, day(number).date())

    told = {unit: (SORTS[sort], station, line) for unit, (sort, station, line) in found.items()}
    expected = {}
    for unit in units:
        place = outermost_of(worlds, unit, day(number))
        if place is not None:
            # Every part comes off on the line: the unit itself does.
            expected[unit] = (place.sort, place.station_id or -1, unit)
    assert told == expected


def days_in_store(worlds: Worlds) -> Iterator[tuple[int, date]]:
    for number in range(STEPS + 1):
        for unit in worlds.where(day(number)):
            place = outermost_of(worlds, unit, day(number))
            if place is not None and place.sort in ("store", "quarantine"):
                yield unit, day(number).date()


def test_the_engine_counts_the_same_days_in_store_of_what_is_inside(worlds: Worlds) -> None:
    found = in_store(UnitSelection(ids=tuple(worlds.records)), day(STEPS).date())

    told = set()
    for unit, *times in zip(*(found[name].tolist() for name in FROM_TO), strict=True):
        since, until = (at - EPOCH for at in times)
        days = range(max(since, 0), STEPS + 1 if times[1] == NO_DATE else until)
        told |= {(unit, day(number).date()) for number in days}
    assert told == set(days_in_store(worlds))


@pytest.mark.parametrize("number", SAMPLES)
def test_what_was_fitted_is_the_same_by_the_question_and_by_the_kept_periods(
    worlds: Worlds, number: int
) -> None:
    at = day(number)

    for aircraft in Aircraft.objects.all():
        asked = {(row.unit_id, row.depth) for row in fitted(aircraft, at)}
        kept = FittedPeriod.objects.filter(aircraft=aircraft, from_at__lte=at).exclude(
            to_at__lte=at
        )
        assert asked == worlds.clerk.fitted(aircraft.pk, at, worlds.now)
        assert set(kept.values_list("unit", "depth")) == asked
