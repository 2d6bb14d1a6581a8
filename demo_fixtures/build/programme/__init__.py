"""The invented programme: every clock of the design in use, each with an invented document."""

from __future__ import annotations

from dataclasses import replace

from .bottles import BOTTLES
from .cabin import CABIN
from .places import DOOR_POSITIONS, PLACES
from .shape import Amount, Clock, Limit, from_reference
from .slides import SLIDES

__all__ = [
    "DOOR_POSITIONS",
    "LESSOR_LIMITS",
    "LIMITS",
    "Amount",
    "Clock",
    "Limit",
    "from_reference",
]

LIMITS = [*SLIDES, *BOTTLES, *CABIN, *PLACES]


def _of_lessor(limit: Limit) -> Limit:
    """The same rule in the lessor's own document. Of rafts it leaves out each time in store."""
    clocks = limit.clocks
    if limit.code == "RAFT-OVH":
        clocks = [replace(clocks[0], runs="store_up_to_cap", cap=6, cap_each=True)]
    return replace(
        limit,
        clocks=clocks,
        document=f"ILM-{limit.document}",
        document_revision="2",
        revision="1",
        quota=None,
    )


LESSOR_LIMITS = [
    _of_lessor(limit)
    for limit in LIMITS
    if limit.kind != "SLIDE" and limit.subject != "population" and not limit.directive
]
