"""How long one release of a swap takes, its works recorded and its due items right in the same act."""

from __future__ import annotations

import time
import uuid
from datetime import date, datetime
from statistics import median
from typing import Any

from equipment.models import Step, Swap, Unit
from equipment.swaps.acts import enter_step, inspect_step, release_swap, sign_step
from fleet.models import User
from fleet.people.proofs import Proof

from ..models import WorkDone
from . import swap_stage

EARNED = "OVERHAUL"
STEPS = 4
#: What a loop of 200,000 squares takes a quiet core of this sort of machine, in seconds.
PLAIN = 0.011


def seconds_of_release(day: date, now: datetime, times: int = 30) -> float:
    """The median of releasing a swap of the fleet's, as a steady machine would take: signature, end, work and due
    items in one act."""
    by, inspector = (swap_stage.make_person(f"bench {who}", day) for who in ("one", "other"))
    swap_stage.make_rules(day, now)
    fitted = Unit.objects.filter(aircraft__isnull=False).order_by("pk").values_list("pk", flat=True)
    units = list(fitted[: times * 20])
    kinds = Unit.objects.filter(pk__in=units).values_list("part_number__kind", flat=True)
    swap_stage.make_steps(sorted(set(kinds)), STEPS, EARNED, day, now)
    before = WorkDone.objects.count()
    taken = [
        _released(swap, by, inspector, now)
        for swap in swap_stage.ready_swaps(units, by, times, now)
    ]
    assert WorkDone.objects.count() - before == len(taken) == times, len(taken)
    return median(taken[times // 10 :])


def _released(swap: Swap, by: User, inspector: User, now: datetime) -> float:
    """Seconds of the release alone; the steps are entered, signed and inspected before."""
    proof = Proof(by, now)
    for step in Step.objects.filter(step_list=swap.step_list_id).order_by("number"):
        facts: dict[str, Any] = {"swap_id": swap.pk, "step_id": step.pk, "at": now}
        enter_step(by=by, typed=swap_stage.TYPED[step.sort], act_id=uuid.uuid4(), **facts)
        sign_step(proof=proof, act_id=uuid.uuid4(), **facts)
        if step.is_inspected:
            inspect_step(proof=Proof(inspector, now), act_id=uuid.uuid4(), **facts)
    before = _slowness()
    begun = time.perf_counter()
    release_swap(proof=proof, swap_id=swap.pk, act_id=uuid.uuid4(), at=now)
    taken = time.perf_counter() - begun
    return taken * 2 / (before + _slowness())


def _slowness() -> float:
    """By how much the machine is slower just now than when a plain loop takes :data:`PLAIN` seconds. The two sizes
    are measured minutes apart, and a machine that is shared is now quicker, now slower, by a third."""
    begun = time.perf_counter()
    sum(number * number for number in range(200_000))
    return (time.perf_counter() - begun) / PLAIN
