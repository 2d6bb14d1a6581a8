"""The rows of one swap, read at once: steps, entries, signatures, and the movements in force."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.db.models import Prefetch

from equipment.models import Movement, Place, Signature, Step, StepEntry, Swap, SwapMovement

INSPECTIONS = (Signature.INSPECTION, Signature.REINSPECTION)
WHOLE = (
    "aircraft__aircraft_type", "station", "step_list", "rule_set", "opened_by", "end",
    "expected_off__part_number", "planned_on__part_number",
)  # fmt: skip
# Of its own: the planner takes longer over one query of so many tables than two take together.
WITH_PLACE = Prefetch(
    "place",
    Place.objects.select_related(
        "station", "aircraft_position__aircraft", "aircraft_position__type_position__kind",
        "part_position__kind", "parent_unit__part_number",
    ),
)  # fmt: skip
OF_MOVEMENT = (
    "unit__part_number", "unit__original_part", "to_place", "annulment", "corrected_by", "recorded_by",
)  # fmt: skip


@dataclass(frozen=True)
class SwapRows:
    """One swap with all that was recorded for it; ``off`` and ``on`` are the movements in force."""

    swap: Swap
    steps: list[Step]
    entries: dict[int, list[StepEntry]]
    signatures: list[Signature]
    moves: dict[str, Movement] = field(default_factory=dict)

    def entry(self, step_id: int) -> StepEntry | None:
        """The entry that counts: the latest."""
        found = self.entries.get(step_id)
        return found[-1] if found else None

    def entry_of(self, number: int | None) -> StepEntry | None:
        """The entry that counts of the step of this number."""
        step = next((step for step in self.steps if step.number == number), None)
        return self.entry(step.pk) if step else None

    def of_step(self, step_id: int, *sorts: str) -> list[Signature]:
        return [s for s in self.signatures if s.step_id == step_id and s.sort in sorts]

    @property
    def off(self) -> Movement | None:
        return self.moves.get(SwapMovement.OFF)

    @property
    def on(self) -> Movement | None:
        return self.moves.get(SwapMovement.ON)

    def move_of(self, step: Step) -> Movement | None:
        """The movement that a step posts, if it does and it was recorded."""
        return {"removal": self.off, "installation": self.on}.get(step.posts)


def whole(swap_id: int) -> Swap | None:
    """A swap with what its reads need, in two queries."""
    found = Swap.objects.select_related(*WHOLE).prefetch_related(WITH_PLACE)
    return found.filter(pk=swap_id).first()


def rows_of(swap: Swap) -> SwapRows:
    """All rows of a swap: four queries, and one for each correction of its movements."""
    entries: dict[int, list[StepEntry]] = defaultdict(list)
    found = swap.entries.select_related("entered_by", "tool", "calibration", "chart")
    for entry in found.order_by("pk"):
        entries[entry.step_id].append(entry)
    return SwapRows(
        swap=swap,
        steps=list(Step.objects.filter(step_list=swap.step_list_id).order_by("number")),
        entries=dict(entries),
        signatures=list(swap.signatures.select_related("by").order_by("pk")),
        moves=moves_of(swap),
    )


def moves_of(swap: Swap) -> dict[str, Movement]:
    """The removal and the installation in force, by role; of a correction, those it corrects too."""
    moves = moves_of(swap.corrects) if swap.corrects is not None else {}
    parts = [f"movement__{part}" for part in OF_MOVEMENT]
    for link in swap.moves.select_related(*parts).order_by("pk"):
        latest = in_force(link.movement)
        if latest is not None:
            moves[link.role] = latest
    return moves


def in_force(movement: Movement) -> Movement | None:
    """What a movement was corrected to, in the end; None if it was annulled."""
    while (later := getattr(movement, "corrected_by", None)) is not None:
        movement = Movement.objects.select_related(*OF_MOVEMENT).get(pk=later.pk)
    return None if hasattr(movement, "annulment") else movement


def kind_of(swap: Swap) -> str | None:
    """The code of the kind of equipment at the swap's place."""
    if swap.place.aircraft_position is not None:
        return swap.place.aircraft_position.type_position.kind.code
    return swap.place.part_position.kind.code if swap.place.part_position else None


def type_of(swap: Swap) -> str | None:
    return swap.aircraft.aircraft_type.code if swap.aircraft else None


def day_of(swap: Swap, at: datetime) -> date:
    """The day at the swap's station."""
    return at.astimezone(ZoneInfo(swap.station.time_zone)).date()
