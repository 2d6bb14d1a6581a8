"""Two clerks accept the same unit at the same moment, on a real server: one has it, the other is told."""

from __future__ import annotations

from collections import Counter
from datetime import timedelta
from functools import partial

import pytest

from equipment.models import Reservation
from fleet.house.refusals import Refused
from scheduling.allocation.acts.decide import accept_pairing, free_pairing
from scheduling.models import ProposalRun
from tests import builders as build
from tests.at_once import people
from tests.sweeps import many

from . import world as here

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.slow, pytest.mark.sweep]
ROUNDS = many(200, 40)
WHEN = {"at": here.AT + timedelta(hours=1), "as_of": here.DAY}


def attempt(clerk, need, unit):
    """(code, sentence) of a refusal, or who has it now."""
    try:
        accept_pairing(by=clerk, ruling=here.ruling(need, unit), **WHEN)
    except Refused as refused:
        return refused.code, refused.message
    return "accepted", clerk.shown_name


def test_one_has_it_and_the_other_sees_by_whom_and_what_is_next_best():
    world = here.a_world()
    unit, next_best = world.a_spare(), world.a_spare(made="2027-02-10")
    run = world.propose()
    needs = [here.need_at(run, one) for one in world.aircraft]
    # Not renewed within the act: what is measured is the race.
    ProposalRun.objects.filter(pk=run.pk).update(took_ms=60_000)
    clerks = [world.clerk, build.a_person("stores")]
    codes: Counter[str] = Counter()
    tries = [partial(attempt, *each, unit) for each in zip(clerks, needs, strict=True)]
    with people() as at_once:
        for _ in range(ROUNDS):
            told = at_once(*tries)
            codes.update(code for code, _ in told)
            has, lost = sorted(told)
            assert has[1] in lost[1]
            assert f"Next best: HS-100 S/N {next_best.serial_number}" in lost[1]
            won = Reservation.objects.get(ended_at=None)
            at = next(at for at, need in enumerate(needs) if need.place_id == won.place_id)
            free_pairing(by=clerks[at], ruling=here.ruling(needs[at], unit), **WHEN)

    assert codes == {"accepted": ROUNDS, "reserved_elsewhere": ROUNDS}
