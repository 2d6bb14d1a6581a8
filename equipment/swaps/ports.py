"""What a swap and a bottle ask of the upper app that knows limits and works. Answered inside the act."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from equipment.judging.release.obstacles import Obstacle
from equipment.models import Signature, Swap
from fleet.house.ports import Port
from fleet.models import User


@dataclass(frozen=True, slots=True)
class EarnedWorks:
    """The works that a released swap counts as, by their codes, and the units that came off and went on; of a
    work in place the unit it was done on, as if it had gone on, or the position itself.

    ``done_on`` is the day of the work where it was done on paper, and entered afterwards. Where it turned
    out to be another unit than ``instead_of_unit_id``, that one's are withdrawn, by whom and when.
    """

    swap: Swap
    signature: Signature
    unit_on_id: int | None
    unit_off_id: int | None
    codes: Sequence[str]
    at: datetime
    done_on: date | None = None
    instead_of_unit_id: int | None = None
    position_id: int | None = None
    corrected_by: User | None = None
    corrected_at: datetime | None = None


#: Asked with the swap, the unit that went on (None: none did), the codes of the works that the job
#: counts as, and the instant of the release.
release_obstacles: Port[[Swap, int | None, Sequence[str], datetime], list[Obstacle]] = Port(
    "what else stands in the way of a swap's release"
)
#: An act: records the works and answers with the codes of those recorded; a code that no programme
#: knows is not among them.
record_earned_works: Port[[EarnedWorks], set[str]] = Port(
    "who records the works that a released swap counts as"
)
#: Asked with a unit and an instant. One ``{"limit", "used", "left", "unit"}``, all texts, for each
#: limit of its life; empty if nothing limits it.
life_status_of: Port[[int, datetime], list[dict[str, str]]] = Port(
    "how much of its life a unit has used"
)
