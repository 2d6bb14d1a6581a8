"""Today's list foretells the lists of later days, where nothing is recorded in between: drawn worlds.

What is overdue on a later day was announced by today's list, and what today's list says falls due on a
day is good on that day and overdue on the next.
"""

from __future__ import annotations

import random
from datetime import date, timedelta

import pytest

from fleet.aircraft.planned import left_by
from fleet.models import AircraftStatus, PlannedRate
from scheduling.engine.basis.bands import Band
from scheduling.facts.items import Item
from scheduling.models import Limit, Programme, ProgrammeOfAircraft
from tests import builders as build
from tests.scheduling.rules import (
    DAY,
    Runs,
    a_rule,
    every,
    everything_stored,
    follows,
    on_another_day,
    reckon,
    the_programme,
)
from tests.sweeps import many

pytestmark = pytest.mark.django_db
CODES = ("OH-1", "OH-2", "AD-1")
HORIZON = 420
Key = tuple[int | None, int | None, int | None, str]


def a_day(rng: random.Random, first: int = 1, last: int = HORIZON) -> date:
    return DAY + timedelta(days=rng.randint(first, last))


def a_world(rng: random.Random) -> None:
    """Four aircraft with three slides each and two spares, under two programmes that have the same codes; what is
    known of days to come is drawn."""
    other = Programme.objects.create(code="OTHER", name="Other", revision="1", govern_spares=False)
    for programme in (the_programme(), other):
        for code in CODES:
            rules(rng, programme, code)
    kind = build.a_kind("SLIDE")
    part = build.a_part(kind=kind)
    of_type = build.an_aircraft_type("D1L", "D1R", "D2L", kind=kind)
    for _ in range(4):
        aircraft = follows(build.an_aircraft(of_type=of_type), rng.choice((None, other)))
        for position in ("D1L", "D1R", "D2L"):
            made = build.day("2024-01-01") + timedelta(days=rng.randint(0, 900))
            unit = build.a_unit(part, manufactured_on=made)
            when = (made + timedelta(days=rng.randint(1, 60))).isoformat()
            build.installed(unit, build.at_position(aircraft, position), when)
        to_come(rng, aircraft, other)
    store = build.in_store(build.a_station())
    for _ in range(2):
        made = build.day("2024-01-01") + timedelta(days=rng.randint(0, 900))
        build.moved(build.a_unit(part, manufactured_on=made), "received", store, "2026-12-01")


def rules(rng: random.Random, programme: Programme, code: str) -> None:
    """One limit in one to three revisions, the last without an end."""
    begins = sorted({a_day(rng) for _ in range(rng.randint(0, 2))})
    days: list[date | None] = [None, *begins]
    for number, begin in enumerate(days):
        until = days[number + 1] - timedelta(days=1) if number + 1 < len(days) else None
        subject = "aircraft" if code == "AD-1" else "unit"
        clock = (
            Runs("days", [(rng.randint(1000, 1700), "any")], FROM_A_DAY)
            if subject == "aircraft"
            else every(
                rng.randint(20, 50), first_from=rng.choice(("manufacture", "first_installation"))
            )
        )
        more = {"until_on": until} | ({"from_on": begin} if begin else {})
        a_rule(code, clock, programme=programme, revision=str(number), subject=subject, **more)


FROM_A_DAY = {"counts_from": "given_date", "given_on": date(2024, 1, 1)}


def to_come(rng: random.Random, aircraft, other: Programme) -> None:
    on, later = sorted((a_day(rng), a_day(rng, 2)))
    sort = rng.choice(("none", "programme", "parked", "left", "left and back", "rate"))
    if sort == "programme":
        to = rng.choice((other, the_programme()))
        ProgrammeOfAircraft.objects.create(
            aircraft=aircraft, programme=to, from_on=on, recorded_at=build.NOW
        )
    if sort in ("parked", "left", "left and back"):
        words = [("parked" if sort == "parked" else "left", on)]
        words += [("in_service", later)] if sort != "left" and later > on else []
        for word, since in words:
            AircraftStatus.objects.create(
                aircraft=aircraft, status=word, from_on=since, recorded_at=build.NOW
            )
    if sort == "rate":
        PlannedRate.objects.create(
            aircraft=aircraft,
            measure=build.the_hours(),
            from_on=on,
            per_day_milli=600_000,
            recorded_at=build.NOW,
        )


def key_of(item: Item, codes: dict[int, str]) -> Key:
    return (
        item.unit_id,
        item.position_id if item.unit_id is None else None,
        item.aircraft_id,
        codes[item.limit_id],
    )


def asked_on(day: date, codes: dict[int, str]) -> set[Key]:
    return {key_of(one, codes) for one in on_another_day(day.isoformat()) if one.band != Band.QUIET}


def overdue_on(day: date, codes: dict[int, str]) -> set[Key]:
    return {
        key_of(one, codes) for one in on_another_day(day.isoformat()) if one.band == Band.OVERDUE
    }


@pytest.mark.sweep
@pytest.mark.parametrize("seed", range(many(6, 3)))
def test_today_s_list_foretells_the_lists_of_days_to_come(seed):
    rng = random.Random(seed)
    a_world(rng)
    reckon()
    codes = dict(Limit.objects.values_list("pk", "code"))
    announced = {
        key_of(one, codes): one.due_on for one in everything_stored() if one.band != Band.QUIET
    }
    assert len(announced) > 15

    for later in sorted({a_day(rng) for _ in range(4)}):
        told = {key for key, due_on in announced.items() if due_on and due_on < later}
        unforeseen = overdue_on(later, codes) - told
        assert not unforeseen, later

    soon = sorted({on for on in announced.values() if on and DAY <= on <= DAY + timedelta(HORIZON)})
    assert soon
    for on in rng.sample(soon, min(5, len(soon))):
        that_day, next_day = overdue_on(on, codes), overdue_on(on + timedelta(days=1), codes)
        gone = left_by(on + timedelta(days=1))
        for key, due_on in announced.items():
            if due_on == on:
                assert key not in that_day, (key, on)
                # A rule that asks nothing that day (not fitted yet) is no reason to leave it out today.
                assert key in next_day or key not in asked_on(on + timedelta(days=1), codes)
                assert key[2] not in gone
