"""Random histories: whatever is recorded in whatever order, every promise holds."""

from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

import pytest
from django.db import transaction
from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from equipment.keeping.correct import annul_movements, correct_movement, reconcile_movements
from equipment.keeping.merge import merge_units
from equipment.keeping.record import record_movements
from equipment.keeping.repair import check_whereabouts
from equipment.ledger.facts import AnnulmentFact, MergeFact, MovementFact, PlaceAt, When
from equipment.ledger.fitted import fitted
from equipment.models import FittedPeriod, Movement, Unit
from equipment.units.acts.lots import split_lot
from fleet.house.refusals import Refused
from tests import builders as build
from tests.sweeps import many

from .world import Clerk, hour

HOURS = st.integers(0, 40)
UNITS = st.integers(0, 5)
SORTS = st.sampled_from(
    [
        "received",
        "installed",
        "installed",
        "installed",
        "removed",
        "sent",
        "returned",
        "quarantined",
        "released",
        "lost",
        "found",
        "scrapped",
    ]
)


class Histories(RuleBasedStateMachine):
    def __init__(self):
        super().__init__()
        self.opened = transaction.atomic()
        self.opened.__enter__()
        self.controller = build.a_person("controller")
        self.aircraft = [
            build.an_aircraft("D1L", "D1R"),
            build.an_aircraft("BIN", capacity=3),
        ]
        self.station = build.a_station()
        slide = build.a_part("", "LIGHT", "BOTTLE")
        light = build.a_part("", "CELL")
        self.units = [
            build.a_unit(part, by=self.controller) for part in (slide, slide, light, light)
        ]
        self.units += [
            build.a_unit(build.a_part("", is_lot=True), by=self.controller, quantity=2)
            for _ in (1, 2)
        ]
        self.places = [
            build.at_position(self.aircraft[0], "D1L"),
            build.at_position(self.aircraft[0], "D1R"),
            build.at_position(self.aircraft[1], "BIN"),
            build.inside(self.units[0], "LIGHT"),
            build.inside(self.units[0], "BOTTLE"),
            build.inside(self.units[1], "LIGHT"),
            build.inside(self.units[2], "CELL"),
            build.inside(self.units[3], "CELL"),
        ]
        self.minutes = 0
        self.asked = []

    def teardown(self):
        transaction.set_rollback(True)
        self.opened.__exit__(None, None, None)

    def now(self):
        self.minutes += 1
        return hour(50) + timedelta(minutes=self.minutes)

    def place_for(self, sort, choice):
        elsewhere = {
            "sent": build.SHOP,
            "quarantined": build.in_quarantine(self.station),
            "lost": PlaceAt("gone", name="lost"),
            "scrapped": build.SCRAPPED,
        }
        return (
            self.places[choice]
            if sort == "installed"
            else elsewhere.get(sort, build.in_store(self.station))
        )

    def fact(self, unit, sort, choice, at, order=0):
        return MovementFact(
            self.units[unit].pk, sort, self.place_for(sort, choice), When(hour(at)), day_order=order
        )

    @rule(unit=UNITS, sort=SORTS, choice=st.integers(0, 7), at=HOURS, order=st.integers(0, 1))
    def move(self, unit, sort, choice, at, order):
        fact = self.fact(unit, sort, choice, at, order)
        record_movements(by=self.controller, rows=[fact], act_id=uuid4(), at=self.now())

    @rule(moves=st.lists(st.tuples(UNITS, SORTS, st.integers(0, 7), HOURS), min_size=2, max_size=5))
    def move_many(self, moves):
        rows = [self.fact(*each) for each in moves]
        rows = [MovementFact(r.unit_id, r.sort, r.to, r.when, act_id=uuid4()) for r in rows]
        record_movements(by=self.controller, rows=rows, act_id=uuid4(), at=self.now())

    @rule(one=UNITS, other=UNITS, choice=st.integers(0, 2), at=HOURS)
    def swap(self, one, other, choice, at):
        if one != other:
            rows = [
                self.fact(one, "removed", choice, at),
                self.fact(other, "installed", choice, at),
            ]
            # Of two that turned out to be one there is no swap: refused.
            self.unless_refused(
                record_movements, by=self.controller, rows=rows, act_id=uuid4(), at=self.now()
            )

    def recorded(self):
        return list(Movement.objects.order_by("pk"))

    @precondition(lambda self: Movement.objects.exists())
    @rule(pick=st.integers(0, 1000), unit=UNITS, sort=SORTS, choice=st.integers(0, 7), at=HOURS)
    def correct(self, pick, unit, sort, choice, at):
        movements = self.recorded()
        movement = movements[pick % len(movements)]
        self.unless_refused(
            correct_movement,
            by=self.controller,
            movement_id=movement.pk,
            fact=self.fact(unit, sort, choice, at),
            act_id=uuid4(),
            at=self.now(),
        )

    @precondition(lambda self: Movement.objects.exists())
    @rule(pick=st.integers(0, 1000))
    def annul(self, pick):
        movements = self.recorded()
        row = AnnulmentFact(movements[pick % len(movements)].pk, "a slip", uuid4())
        self.unless_refused(annul_movements, by=self.controller, rows=[row], at=self.now())

    @precondition(lambda self: Movement.objects.nonconforming().exists())
    @rule(pick=st.integers(0, 1000))
    def reconcile(self, pick):
        waiting = list(Movement.objects.nonconforming())
        self.unless_refused(
            reconcile_movements,
            by=self.controller,
            movement_ids=[waiting[pick % len(waiting)].pk],
            act_id=uuid4(),
            at=self.now(),
        )

    @rule(kept=UNITS, absorbed=UNITS)
    def merge(self, kept, absorbed):
        row = MergeFact(self.units[kept].pk, self.units[absorbed].pk, "one plate, two entries")
        self.unless_refused(merge_units, by=self.controller, rows=[row], at=self.now())

    @rule(unit=st.integers(4, 5), at=HOURS)
    def split(self, unit, at):
        self.unless_refused(
            split_lot,
            by=self.controller,
            unit_id=self.units[unit].pk,
            quantity=1,
            serial_number=f"X{uuid4().hex[:8]}",
            when=When(hour(at)),
            act_id=uuid4(),
            at=self.now(),
        )

    def unless_refused(self, act, **facts):
        try:
            with transaction.atomic():
                act(**facts)
        except Refused as refused:
            assert refused.message.endswith(".")
            # The rule says it, before the database has to.
            assert refused.__cause__ is None

    @invariant()
    def what_is_kept_is_what_the_ledger_says(self):
        assert list(check_whereabouts()) == []

    @invariant()
    def both_questions_answer_as_a_clerk_would(self):
        clerk = Clerk()
        moments = [hour(-1), hour(7), hour(20), hour(41)]
        records = [
            hour(50) + timedelta(minutes=m)
            for m in {0, self.minutes // 2, self.minutes - 1, self.minutes}
        ]
        for aircraft in self.aircraft:
            for at in moments:
                for known in records:
                    answer = {(row.unit_id, row.depth) for row in fitted(aircraft, at, known)}
                    assert answer == clerk.fitted(aircraft.pk, at, known), (at, known)

    @invariant()
    def now_is_the_last_of_the_past(self):
        clerk = Clerk()
        where = clerk.where(hour(1000), hour(1000))
        for unit in Unit.objects.all():
            assert unit.place_id == where.get(unit.pk)
            is_on = FittedPeriod.objects.filter(unit=unit, to_at=None).values_list(
                "aircraft", flat=True
            )
            assert list(is_on) == ([unit.aircraft_id] if unit.aircraft_id else [])


@pytest.mark.slow
@pytest.mark.sweep
@pytest.mark.django_db
def test_every_promise_holds_after_every_step_of_a_random_history():
    run_state_machine_as_test(
        Histories,
        settings=settings(
            max_examples=many(12, 5),
            stateful_step_count=20,
            # To shrink a history of twenty steps takes minutes; it is printed as it was found.
            phases=(Phase.generate,),
            deadline=None,
            suppress_health_check=list(HealthCheck),
        ),
    )
