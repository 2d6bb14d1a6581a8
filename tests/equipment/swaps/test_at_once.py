"""Two people at one moment, on a real database: exactly one wins, the other is told why, nothing is half done."""

from __future__ import annotations

import sys
import time
from collections import Counter
from collections.abc import Callable
from functools import partial
from statistics import median
from uuid import uuid4

import pytest

from equipment.keeping.papers import record_certificates
from equipment.keeping.places import place_ids
from equipment.keeping.record import record_movements
from equipment.keeping.repair import check_whereabouts
from equipment.ledger.facts import CertificateFact, MovementFact, PlaceAt, UnitFact
from equipment.models import (
    Discrepancy,
    Movement,
    Signature,
    Stay,
    StepList,
    Swap,
    SwapEnd,
    SwapMovement,
)
from equipment.swaps.acts import record_installation, release_swap
from equipment.units.acts.units import enter_units
from fleet.house.refusals import Refused
from fleet.models import Aircraft
from tests import builders as build
from tests import builders_swaps as swaps
from tests.at_once import people
from tests.sweeps import many

pytestmark = [pytest.mark.slow, pytest.mark.django_db(transaction=True), pytest.mark.sweep]
ROUNDS = many(200, 40)
#: A list in which nothing is needed: only the movements and the end matter here.
ONE_STEP = ((1, "install", "note", "Anything found.", {}, {"is_needed": False}),)
KEPT = ("sort", "aircraft", "station", "step_list", "rule_set", "reason", "opened_at", "opened_by")
NOON = build.on("2027-06-01 09:00")


def by_turns(name: str, rounds: int, *acts: Callable[[int], str]) -> list[tuple[str, ...]]:
    """What each act was told in each round, all of a round begun together; the times are printed."""
    took = []

    def run(act: Callable[[int], str], number: int) -> str:
        begun = time.perf_counter()
        try:
            return act(number)
        except Refused as refused:
            assert refused.__cause__ is None, "told by the constraint, not by the rule"
            return refused.code
        finally:
            took.append((time.perf_counter() - begun) * 1000)

    with people(len(acts)) as at_once:
        told = [
            tuple(at_once(*(partial(run, act, number) for act in acts))) for number in range(rounds)
        ]
    sys.stdout.write(f"{name}: {median(took):.0f} ms, at most {max(took):.0f}\n")
    return told


@pytest.fixture
def stage():
    return Stage()


class Stage:
    """A station, a kind with its list, people; aircraft and units as many as are wanted."""

    def __init__(self) -> None:
        self.kind = build.a_kind("SLIDE-AT-ONCE")
        self.station = build.a_station()
        self.people = swaps.a_technician(), swaps.an_inspector(), swaps.a_certifier()
        self.stores = build.a_person("stores")
        swaps.a_rule_set()
        if not StepList.objects.filter(kind=self.kind).exists():
            swaps.a_step_list(self.kind, ONE_STEP)
        self.part = build.a_part(kind=self.kind)

    def swaps_open(self, count: int) -> list[swaps.Job]:
        codes = [f"P{number}" for number in range(count)]
        of_type = build.an_aircraft_type(*codes, kind=self.kind)
        aircraft = build.an_aircraft(of_type=of_type, station=self.station)
        places = [build.at_position(aircraft, code) for code in codes]
        first = self.job(aircraft, places[0])
        first.open(planned_on_id=None)
        facts = {name: getattr(first.swap, name) for name in KEPT}
        keys = place_ids(places[1:])
        more = [Swap(act_id=uuid4(), place_id=key, **facts) for key in keys]
        jobs = [first, *(self.job(aircraft, place) for place in places[1:])]
        for job, swap in zip(jobs[1:], Swap.objects.bulk_create(more), strict=True):
            job.swap = swap
        return jobs

    def job(self, aircraft: Aircraft, place: PlaceAt) -> swaps.Job:
        """No unit is there and none is planned; these people do it."""
        return swaps.Job(aircraft, self.station, place, None, None, *self.people, {})

    def units(self, count: int) -> list[int]:
        facts = [UnitFact(self.part.pk, f"S{number}") for number in range(count)]
        units = [done.id for done in enter_units(by=build.a_person(), rows=facts, at=build.NOW)]
        store = build.in_store(self.station)
        rows = [MovementFact(unit, "received", store, build.on("2027-05-01")) for unit in units]
        record_movements(by=self.stores, rows=rows, act_id=uuid4(), at=build.NOW)
        papers = [
            CertificateFact(
                unit, "QForm 1", f"QF-{unit}", build.day("2027-01-01"), "Lee Shore", "new"
            )
            for unit in units
        ]
        record_certificates(by=self.stores, rows=papers, at=build.NOW)
        return units


def fitting(job: swaps.Job, unit: int) -> str:
    """The codes against an installation, empty if it conforms."""
    done = record_installation(
        by=job.technician, swap_id=job.swap.pk, unit_id=unit, when=NOON, act_id=uuid4(), at=job.now
    )
    return " ".join(reason.code for reason in done.reasons)


def test_one_unit_for_two_swaps_goes_to_one_in_every_round(stage):
    units, jobs = stage.units(ROUNDS), stage.swaps_open(2 * ROUNDS)

    told = by_turns(
        "one unit, two swaps",
        ROUNDS,
        lambda n: fitting(jobs[2 * n], units[n]),
        lambda n: fitting(jobs[2 * n + 1], units[n]),
    )

    assert {tuple(sorted(each)) for each in told} == {("", "unit_recorded_elsewhere")}
    assert SwapMovement.objects.filter(movement__is_conforming=True).count() == ROUNDS
    assert not Discrepancy.objects.exists()  # the second was asked first, and has confirmed nothing
    assert Stay.objects.filter(place__sort="aircraft").count() == ROUNDS
    assert list(check_whereabouts()) == []


def fitted_at_once(jobs: list[swaps.Job], units: list[int]) -> None:
    """As if each had been installed by its own swap: recorded in one go, for time."""
    rows = [
        MovementFact(unit, "installed", job.place, NOON)
        for job, unit in zip(jobs, units, strict=True)
    ]
    done = record_movements(by=jobs[0].technician, rows=rows, act_id=uuid4(), at=build.NOW)
    SwapMovement.objects.bulk_create(
        SwapMovement(swap=job.swap, role="on", movement_id=each.movement_id)
        for job, each in zip(jobs, done, strict=True)
    )


def released(job: swaps.Job) -> str:
    release_swap(
        proof=swaps.proof_of(job.certifier, job.now),
        swap_id=job.swap.pk,
        act_id=uuid4(),
        at=job.now,
    )
    return ""


def test_a_swap_is_released_once_in_every_round(stage):
    units, jobs = stage.units(ROUNDS), stage.swaps_open(ROUNDS)
    fitted_at_once(jobs, units)

    told = by_turns(
        "one swap, two releases", ROUNDS, lambda n: released(jobs[n]), lambda n: released(jobs[n])
    )

    assert {tuple(sorted(each)) for each in told} == {("", "swap_ended")}
    assert SwapEnd.objects.count() == ROUNDS
    assert Signature.objects.filter(sort="release").count() == ROUNDS


def quarantined(stage: Stage, unit: int, number: int) -> str:
    time.sleep(0.015 * (number % 3))  # the shorter act does not win every round
    fact = MovementFact(unit, "quarantined", build.in_quarantine(stage.station), NOON)
    (done,) = record_movements(by=stage.stores, rows=[fact], act_id=uuid4(), at=build.NOW)
    return " ".join(reason.code for reason in done.reasons)


def test_a_unit_is_fitted_or_quarantined_in_every_round(stage):
    units, jobs = stage.units(ROUNDS), stage.swaps_open(ROUNDS)

    told = by_turns(
        "fitted or quarantined",
        ROUNDS,
        lambda n: fitting(jobs[n], units[n]),
        lambda n: quarantined(stage, units[n], n),
    )

    won = Counter(each.index("") for each in told)
    assert all(each.count("") == 1 for each in told), Counter(told)
    assert {each[0] for each in told} <= {"", "unit_quarantined", "unit_recorded_elsewhere"}
    assert {each[1] for each in told} <= {"", "unit_recorded_elsewhere"}
    assert Movement.objects.filter(is_conforming=True).count() == 2 * ROUNDS
    sys.stdout.write(f"fitted {won[0]}, quarantined {won[1]}\n")
    assert list(check_whereabouts()) == []


def test_two_people_open_a_swap_at_one_position_once(stage):
    positions = [f"P{number}" for number in range(20)]
    of_type = build.an_aircraft_type(*positions, kind=stage.kind)
    aircraft = build.an_aircraft(of_type=of_type, station=stage.station)

    places = [build.at_position(aircraft, position) for position in positions]

    def opening(number: int) -> str:
        stage.job(aircraft, places[number]).open(planned_on_id=None)
        return ""

    told = by_turns("two openings", 20, opening, opening)

    assert {tuple(sorted(each)) for each in told} == {("", "swap_already_open")}
