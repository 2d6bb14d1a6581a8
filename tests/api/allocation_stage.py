"""What the doors of the allocation need to stand there: a need, a unit that may cover it, and for taking
back something that was decided."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from scheduling.allocation.acts.decide import forbid_pairing
from tests.scheduling.allocation import world as here


def is_of_a_pairing(address: str) -> bool:
    return address.startswith("/api/v1/allocation/")


def staged_pairing(address: str) -> Callable[[Any], Any]:
    """How the schema's example is made to be about a need and a unit that are there."""
    world = here.a_world(planes=1)
    spare = world.a_spare()
    need = here.need_at(world.propose(), world.aircraft[0])
    if address.endswith("/free"):
        forbid_pairing(by=world.clerk, ruling=here.ruling(need, spare), at=here.AT, as_of=here.DAY)
    ours = {"need": need.key, "unit": spare.pk}
    return lambda body: {**body, **ours} if isinstance(body, dict) else body
