"""A page of the stored list: the same order by every sort, whole, however it is walked and narrowed."""

from __future__ import annotations

import random
from datetime import date, timedelta

import pytest
from django.db import connection

from equipment.models import Maker, PartNumber
from fleet.models import Aircraft, Station
from scheduling.due.lists import stored
from scheduling.due.lists.marks import Key
from scheduling.due.lists.rows import MOST_COUNTED
from scheduling.due.lists.scope import Scope
from scheduling.engine.basis.bands import Band
from scheduling.models import DueItem, Work
from tests import builders

pytestmark = pytest.mark.django_db

SORTS = ("urgency", "due", "aircraft", "part", "work")
LAST = "\U0010ffff"
DAY = date(2027, 3, 3)


@pytest.fixture
def items() -> list[DueItem]:
    """300 items of four aircraft or none, of parts that share a number, on few days: many ties."""
    chance = random.Random(7)
    kind = builders.a_kind("slide")
    makers = [Maker.objects.create(code=code, name=code) for code in ("HALY", "LEE")]
    parts = [
        PartNumber.objects.create(maker=maker, number=number, description="", kind=kind)
        for maker, number in zip([*makers, *makers], ("B-2", "B-2", "a-1", "Ä-3"), strict=True)
    ]
    works = [Work.objects.create(code=code, name=code) for code in ("Weigh", "overhaul")]
    stations = [builders.a_station(), builders.a_station()]
    aircraft = [builders.an_aircraft(station=chance.choice(stations)) for _ in range(4)]
    made = []
    for number in range(1, 301):
        on = chance.choice([*aircraft, None])
        part = chance.choice([*parts, None])
        made.append(
            DueItem(
                id=number << 22,
                limit_id=1,
                unit_id=number,
                aircraft=on,
                station=on and on.station,
                kind=part and kind,
                part_number=part,
                work=chance.choice(works),
                as_of=DAY,
                band=chance.randrange(len(Band)),
                sort_on=DAY + timedelta(days=chance.randrange(20)),
            )
        )
    return DueItem.objects.bulk_create(made)


def key_of(item: DueItem, sort: str) -> tuple[object, ...]:
    """The order as Python has it."""
    urgency = (item.band, item.sort_on, item.pk)
    return {
        "urgency": urgency,
        "due": (item.sort_on, item.pk),
        "aircraft": (item.aircraft.registration if item.aircraft else LAST, *urgency),
        "part": (item.part_number.number if item.part_number else LAST, *urgency),
        "work": (item.work.name, *urgency),
    }[sort]


def expected(items: list[DueItem], scope: Scope) -> list[int]:
    held = [
        item
        for item in items
        if item.band < Band.QUIET
        and scope.station_id in (None, item.station_id)
        and scope.kind_id in (None, item.kind_id)
        and (scope.until_on is None or item.sort_on <= scope.until_on)
    ]
    held.sort(key=lambda item: key_of(item, scope.sort), reverse=scope.is_descending)
    return [item.pk for item in held]


def walked(scope: Scope, after: Key | None = None, is_backwards: bool = False) -> list[int]:
    found: list[int] = []
    while rows := stored.page(scope, 7, after, is_backwards):
        found += [item.id for item, _ in rows]
        after = rows[-1][1]
    return found


@pytest.mark.parametrize("is_descending", [False, True])
@pytest.mark.parametrize("sort", SORTS)
def test_page_after_page_gives_every_item_once_in_its_order(items, sort, is_descending):
    scope = Scope(sort=sort, is_descending=is_descending)

    assert walked(scope) == expected(items, scope)


@pytest.mark.parametrize("is_descending", [False, True])
@pytest.mark.parametrize("sort", SORTS)
def test_from_the_end_backwards_it_is_the_same_list(items, sort, is_descending):
    scope = Scope(sort=sort, is_descending=is_descending)
    last = stored.page(scope, 400)[-1]

    back = walked(scope, last[1], is_backwards=True)

    assert [*reversed(back), last[0].id] == expected(items, scope)


@pytest.mark.parametrize("sort", SORTS)
def test_narrowed_by_station_kind_and_day_it_is_in_the_same_order(items, sort):
    station, kind = items[0].station_id, builders.a_kind("slide").pk
    for narrowed in ({"station_id": station}, {"station_id": station, "kind_id": kind}):
        scope = Scope(sort=sort, until_on=DAY + timedelta(days=9), **narrowed)

        assert walked(scope) == expected(items, scope)


def test_counts_of_each_band_are_those_of_the_rows(items):
    station, kind = Station.objects.get(pk=items[0].station_id), builders.a_kind("slide").pk
    scope = Scope(station_id=station.pk, kind_id=kind)

    counted = stored.counts(scope)

    shown = set(expected(items, scope))
    assert counted == [
        sum(item.pk in shown for item in items if item.band == band) for band in range(len(Band))
    ]


def test_a_count_stops_one_above_the_most(items):
    DueItem.objects.bulk_create(
        DueItem(id=number, limit_id=1, work_id=1, as_of=DAY, band=2, sort_on=DAY)
        for number in range(1, MOST_COUNTED + 100)
    )

    assert stored.counts(Scope())[2] == MOST_COUNTED + 1


def test_the_page_by_aircraft_reads_the_items_of_the_first_aircraft_only(items, as_owner):
    first = Aircraft.objects.order_by("registration").first()
    DueItem.objects.bulk_create(
        DueItem(id=number, limit_id=1, work_id=1, as_of=DAY, band=2, sort_on=DAY, aircraft=first)
        for number in range(1, 20_000)
    )
    with as_owner(), connection.cursor() as cursor:
        cursor.execute("ANALYZE scheduling_dueitem, fleet_aircraft")
    statement, params = stored.statement_of(Scope(sort="aircraft"), 50, None)
    with connection.cursor() as cursor:
        cursor.execute(b"EXPLAIN (ANALYZE, FORMAT JSON) " + statement.as_bytes(), params)
        (plan,) = cursor.fetchone()[0]

    assert most_rows(plan["Plan"]) <= 300


def most_rows(plan: dict) -> float:
    """Of the parts of a plan, the most rows that one gave or threw away."""
    mine = plan["Actual Rows"] * plan["Actual Loops"] + plan.get("Rows Removed by Filter", 0)
    return max([mine, *(most_rows(part) for part in plan.get("Plans", []))])
