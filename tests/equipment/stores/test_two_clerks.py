"""Two clerks accept the same unit at the same moment, on a real database: one wins, the other is told by whom."""

from __future__ import annotations

import time
from functools import partial
from uuid import uuid4

import pytest

from equipment.availability.acts.reservations import reserve_unit
from equipment.keeping.places import place_ids
from equipment.models import Reservation
from fleet.house.refusals import Refused
from tests import builders as build
from tests.at_once import people
from tests.sweeps import many

from .world import AT, stocked_units

pytestmark = [pytest.mark.slow, pytest.mark.django_db(transaction=True), pytest.mark.sweep]
ROUNDS = many(200, 40)


def test_of_two_clerks_one_wins_each_time_and_the_other_is_told_by_whom():
    part, station = build.a_part(), build.a_station()
    units = stocked_units(station, part, ROUNDS)
    aircraft = build.an_aircraft("P0", "P1")
    places = place_ids([build.at_position(aircraft, code) for code in ("P0", "P1")])
    clerks = [build.a_person("stores") for _ in range(2)]
    begun = time.process_time()
    with people() as at_once:
        told = [
            at_once(*(partial(_reserve, clerks[me], unit, places[me], number) for me in range(2)))
            for number, unit in enumerate(units)
        ]

    # Of this process: how long the clerks wait is a matter of what else the machine does.
    assert time.process_time() - begun < ROUNDS * 0.3
    for pair in told:
        [loser] = [me for me in range(2) if pair[me] is not None]
        assert pair[loser] == ("reserved_elsewhere", True)
    assert Reservation.objects.filter(ended_at=None).count() == ROUNDS


def _reserve(by, unit, place, number):
    """None for who won; else the code, and whether the winner's name was told."""
    try:
        reserve_unit(
            by=by,
            unit_id=unit,
            place=place,
            need_on=build.day("2027-07-01").replace(year=2028 + number),
            act_id=uuid4(),
            at=AT,
        )
    except Refused as refused:
        winner = Reservation.objects.select_related("reserved_by").get(unit=unit)
        return refused.code, winner.reserved_by.shown_name in refused.message
    return None
