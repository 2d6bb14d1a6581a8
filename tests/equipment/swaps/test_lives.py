"""Whole lives of swaps, drawn at random: no released swap with an unmet condition, no signed value
changed unnoticed. What must hold is read from the rows by a naive reader that knows nothing of ours.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from datetime import date
from typing import Any
from uuid import uuid4

import pytest
from django.db import transaction
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule, run_state_machine_as_test

from equipment.models import (
    Certificate,
    Correction,
    Movement,
    Signature,
    Step,
    StepEntry,
    Swap,
    SwapEnd,
    SwapMovement,
    UnitTag,
)
from equipment.swaps.acts import abandon_swap, correct_swap, hand_over_swap
from equipment.swaps.reads.state import state_of
from fleet.house.refusals import Refused
from fleet.models import Authorisation
from tests import builders as build
from tests import builders_swaps as swaps
from tests.sweeps import many

pytestmark = [pytest.mark.slow, pytest.mark.sweep, pytest.mark.django_db]
NUMBERS = sorted(row[0] for row in swaps.SHORT)
PEOPLE = ("technician", "other", "inspector", "certifier", "nobody")
BAD = {
    1: {"count": "3"},
    3: {"done": "no"},
    6: {"done": "no"},
    7: {"value": "40", "drag": "2"},
    13: {"count": "1"},
}
workers = st.sampled_from(["technician", "inspector"])
inspectors = st.sampled_from(["inspector", "certifier"])
numbers, people = st.sampled_from(NUMBERS), st.sampled_from(PEOPLE)


# --- the naive reader -------------------------------------------------------------------------


def unmet(swap: Swap) -> list[str]:
    """What a released swap lacks, by its bare rows."""
    found = []
    for step in Step.objects.filter(step_list=swap.step_list_id, is_needed=True):
        entries = list(StepEntry.objects.filter(swap=swap, step=step).order_by("pk"))
        signatures = list(Signature.objects.filter(swap=swap, step=step).order_by("pk"))
        if not entries or entries[-1].verdict not in ("in", "none"):
            found.append(f"{step.number} not done well")
            continue
        of_it = [s for s in signatures if s.entry_id == entries[-1].pk]
        signed = [s for s in of_it if s.sort == "step"]
        looked = [s for s in of_it if s.sort == "inspection" and signed and s.pk > signed[0].pk]
        workers = {e.entered_by_id for e in entries} | {
            s.by_id for s in signatures if s.sort == "step"
        }
        if not signed:
            found.append(f"{step.number} not signed")
        if step.is_inspected and not [s for s in looked if s.by_id not in workers]:
            found.append(f"{step.number} not inspected")
    return [*found, *_pins(swap), *_units(swap), *_releaser(swap)]


def _pins(swap: Swap) -> list[str]:
    counts = [
        StepEntry.objects.filter(swap=swap, step__number=number).latest("pk").typed["count"]
        for number in (1, 13)
    ]
    return [] if counts[0] == counts[1] else [f"pins {counts}"]


def _last_movement(swap: Swap, role: str) -> Movement | None:
    """Of this swap, or of the one that it corrects, through its corrections."""
    link = SwapMovement.objects.filter(swap=swap, role=role).order_by("-pk").first()
    if link is None:
        return _last_movement(swap.corrects, role) if swap.corrects else None
    movement = link.movement
    while later := Movement.objects.filter(corrects=movement).first():
        movement = later
    return None if Correction.objects.filter(movement=movement).exists() else movement


def _units(swap: Swap) -> list[str]:
    found = []
    off, on = (_last_movement(swap, role) for role in ("off", "on"))
    for name, movement in (("removal", off), ("installation", on)):
        if movement is None or not movement.is_conforming:
            found.append(f"{name} missing or not conforming")
    if on is None:
        return found
    if not Certificate.objects.filter(unit=on.unit).exists() and (
        off is None or off.unit != on.unit
    ):
        found.append("no certificate")
    tag = UnitTag.objects.filter(unit=on.unit).order_by("-tagged_at", "-pk").first()
    if tag is not None and tag.sort != "serviceable":
        found.append("unserviceable")
    return found


def _releaser(swap: Swap) -> list[str]:
    by = Signature.objects.get(swap=swap, sort="release").by
    good = Authorisation.objects.filter(user=by, until_on__gte=date(2027, 6, 1))
    return [] if any("release" in each.acts for each in good) else ["releaser not authorised"]


# --- the lives --------------------------------------------------------------------------------


class SwapLife(RuleBasedStateMachine):
    """One aircraft, its swaps one after another, and people who do right and wrong."""

    def __init__(self) -> None:
        super().__init__()
        self.undone = transaction.atomic()
        self.undone.__enter__()
        self.job = swaps.a_job(
            swaps.SHORT, kind=STAGE["kind"], people=STAGE["people"], tools=STAGE["tools"]
        )
        self.people = {
            **STAGE["more"],
            "technician": self.job.technician,
            "inspector": self.job.inspector,
            "certifier": self.job.certifier,
        }
        self.misfit = build.a_unit(build.a_part(kind=build.a_kind("VEST")))
        self.bare = build.a_unit(self.job.new.part_number)
        self.signed: dict[int, tuple[str, Any]] = {}
        self.job.open()

    def teardown(self) -> None:
        transaction.set_rollback(True)
        self.undone.__exit__(None, None, None)

    def attempt(self, act: Callable[[], Any]) -> Any:
        """The act's result, or None if it refuses; a signature given is remembered."""
        with contextlib.suppress(Refused):
            done = act()
            for each in done if isinstance(done, list) else [done]:
                if isinstance(each, Signature):
                    self.signed[each.pk] = (each.digest, each.content)
            return done
        return None

    @rule(number=numbers, by=people, is_well=st.booleans())
    def enter(self, number: int, by: str, is_well: bool) -> None:
        typed = None if is_well else BAD[number]
        self.attempt(lambda: self.job.enter(number, typed, by=self.people[by]))

    @rule(number=numbers, by=people)
    def sign(self, number: int, by: str) -> None:
        self.attempt(lambda: self.job.sign(number, by=self.people[by]))

    @rule(number=numbers, by=people)
    def inspect(self, number: int, by: str) -> None:
        self.attempt(lambda: self.job.inspect(number, by=self.people[by]))

    @rule(which=st.sampled_from(["old", "old", "new", "misfit"]), is_good=st.booleans())
    def take_off(self, which: str, is_good: bool) -> None:
        tag = swaps.TagFact("serviceable") if is_good else swaps.TagFact("unserviceable", "defect")
        to = build.in_store(self.job.station)
        self.attempt(lambda: self.job.take_off(self.unit(which), tag=tag, to=to))

    @rule(which=st.sampled_from(["new", "new", "old", "misfit", "bare"]))
    def put_on(self, which: str) -> None:
        self.attempt(lambda: self.job.put_on(self.unit(which)))

    def unit(self, which: str) -> Any:
        return getattr(self, which, None) or getattr(self.job, which)

    @rule(giver=people, taker=people)
    def hand_over(self, giver: str, taker: str) -> None:
        at = self.job.tick()
        self.attempt(
            lambda: hand_over_swap(
                giver=swaps.proof_of(self.people[giver], at),
                words="as it stands",
                taker=swaps.proof_of(self.people[taker], at),
                swap_id=self.job.swap.pk,
                act_id=uuid4(),
                at=at,
            )
        )

    @rule(by=workers, signs=workers, looks=inspectors)
    def do_the_rest(self, by: str, signs: str, looks: str) -> None:
        """Whatever is missing, done well by one, signed by one and looked at by one, maybe the same."""
        state = state_of(self.job.swap, self.job.now)
        if not (state.ledger.is_removal_recorded and state.ledger.is_removal_conforming):
            self.attempt(self.job.take_off)
        if not (state.ledger.is_installation_recorded and state.ledger.is_installation_conforming):
            self.attempt(self.job.put_on)
        for step in state.steps:
            if step.verdict != "in" or any(not pair.is_balanced for pair in step.counts):
                self.attempt(lambda number=step.number: self.job.enter(number, by=self.people[by]))
            self.sign(step.number, signs)
            self.inspect(step.number, looks)

    @rule(by=st.sampled_from(["certifier", "certifier", "nobody", "technician"]))
    def release(self, by: str) -> None:
        self.attempt(lambda: self.job.release(by=self.people[by]))

    @rule(by=workers, signs=workers, looks=inspectors)
    def go_through(self, by: str, signs: str, looks: str) -> None:
        """The rest and the release in one: random acts alone would seldom come so far."""
        self.do_the_rest(by, signs, looks)
        self.release("certifier")

    @rule(number=numbers, by=workers)
    def second_thoughts(self, number: int, by: str) -> None:
        """All is signed and inspected; then a value is entered again, and a release is tried."""
        self.do_the_rest("technician", "technician", "inspector")
        self.enter(number, by, is_well=True)
        self.release("certifier")

    @rule()
    def abandon(self) -> None:
        done = self.attempt(
            lambda: abandon_swap(
                by=self.job.technician,
                swap_id=self.job.swap.pk,
                reason="put off",
                act_id=uuid4(),
                at=self.job.tick(),
            )
        )
        if done is not None:
            self.attempt(self.job.open)

    @rule()
    def correct(self) -> None:
        made = self.attempt(
            lambda: correct_swap(
                by=self.job.certifier,
                swap_id=self.job.swap.pk,
                reason="an hour wrong",
                act_id=uuid4(),
                at=self.job.tick(),
            )
        )
        self.job.swap = made or self.job.swap

    @invariant()
    def no_released_swap_lacks_anything(self) -> None:
        for end in SwapEnd.objects.filter(sort="released", swap__aircraft=self.job.aircraft):
            COUNTED["released"] += 1
            # What a later swap corrects or does is its own: only the latest one's units are looked at.
            if not Swap.objects.filter(pk__gt=end.swap_id, aircraft=self.job.aircraft).exists():
                assert unmet(end.swap) == []

    @invariant()
    def no_signed_value_changes_unnoticed(self) -> None:
        kept = Signature.objects.in_bulk(list(self.signed))
        assert {key: (s.digest, s.content) for key, s in kept.items()} == self.signed
        for step in state_of(self.job.swap, self.job.now).steps:
            latest = StepEntry.objects.filter(swap=self.job.swap, step__number=step.number).last()
            for mark, sorts in ((step.signed, ["step"]), (step.inspected, ["inspection"])):
                if mark is not None and mark.is_current:
                    assert latest is not None
                    assert latest.signatures.filter(sort__in=sorts, by=mark.by.id).exists()


STAGE: dict[str, Any] = {}
COUNTED: dict[str, int] = {}


def test_no_life_of_a_swap_ends_in_a_release_with_anything_unmet():
    COUNTED["released"] = 0
    kind = build.a_kind("SLIDE-LIVES")
    tools = {sort: swaps.a_tool(tool) for sort, tool in swaps.TOOLS.items()}
    signers = (swaps.a_technician(), swaps.an_inspector(), swaps.a_certifier())
    more = {"other": swaps.a_technician(), "nobody": build.a_person("certifying")}
    STAGE.update(kind=kind, tools=tools, people=signers, more=more)
    swaps.a_rule_set()
    swaps.a_step_list(kind, swaps.SHORT)

    run_state_machine_as_test(
        SwapLife,
        settings=settings(
            max_examples=many(12, 5),
            stateful_step_count=16,
            deadline=None,
            database=None,
            suppress_health_check=list(HealthCheck),
            print_blob=True,
        ),
    )

    assert COUNTED["released"] > 0, "no life came to a release: the test saw nothing"
