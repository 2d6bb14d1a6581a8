"""The rows of one swap, read at once: steps, entries, signatures, and the movements in force."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.db.models import Prefetch

from equipment.models import Movement, Place, Signature, Step, StepEntry, Swap, SwapMovement

INSPECTIONS = (Signature.INSPECTION, Signature.REINSPECTION)
WHOLE = (
    "aircraft__aircraft_type",
    "station",
    "step_list",
    "rule_set",
    "opened_by",
    "end",
    "expected_off__part_number",
    "planned_on__part_number",
)
# Of its own: the planner takes longer over one query of so many tables than two take together.
WITH_PLACE = Prefetch(
    "place",
    Place.objects.select_related(
        "station",
        "aircraft_position__aircraft",
        "aircraft_position__type_position__kind",
        "part_position__kind",
        "parent_unit__part_number",
    ),
)
OF_MOVEMENT = (
    "unit__part_number",
    "unit__original_part",
    "to_place",
    "annulment",
    "corrected_by",
    "recorded_by",
)


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
    # Not ``first()``: to put so wide a row in an order takes Django as long as PostgreSQL to find it.
    return next(iter(found.filter(pk=swap_id)), None)


def rows_of(swap: Swap) -> SwapRows:
    """All rows of a swap: a batch of one."""
    return rows_of_many([swap])[swap.pk]


def rows_of_many(swaps: Iterable[Swap]) -> dict[int, SwapRows]:
    """All rows of each swap, by its key: four queries for any number, and one more for each time that
    a swap was corrected, or a movement was, over again."""
    by_key = {swap.pk: swap for swap in swaps}
    entries = _entries(by_key)
    signatures: dict[int, list[Signature]] = defaultdict(list)
    for signature in Signature.objects.filter(swap__in=by_key).select_related("by").order_by("pk"):
        signatures[signature.swap_id].append(signature)
    steps = _steps({swap.step_list_id for swap in by_key.values()})
    moves = moves_of_many(by_key.values())
    return {
        key: SwapRows(
            swap=swap,
            # Of a card nothing was entered step by step: its list is named, and was followed on paper.
            steps=[] if swap.is_transcribed else steps[swap.step_list_id],
            entries=entries[key],
            signatures=signatures[key],
            moves=moves[key],
        )
        for key, swap in by_key.items()
    }


def _entries(by_key: Mapping[int, Swap]) -> dict[int, dict[int, list[StepEntry]]]:
    """The entries of each swap by step, the latest last."""
    entries: dict[int, dict[int, list[StepEntry]]] = {key: {} for key in by_key}
    found = StepEntry.objects.filter(swap__in=by_key)
    found = found.select_related("entered_by", "tool", "calibration", "chart")
    for entry in found.order_by("pk"):
        entries[entry.swap_id].setdefault(entry.step_id, []).append(entry)
    return entries


def _steps(step_lists: Iterable[int | None]) -> dict[int | None, list[Step]]:
    """The steps of each list in their order; none where a swap has no list."""
    steps: dict[int | None, list[Step]] = {key: [] for key in step_lists}
    for step in Step.objects.filter(step_list__in=steps).order_by("number"):
        steps[step.step_list_id].append(step)
    return steps


def moves_of(swap: Swap) -> dict[str, Movement]:
    """The removal and the installation in force, by role; of a correction, those it corrects too."""
    return moves_of_many([swap])[swap.pk]


def moves_of_many(swaps: Iterable[Swap]) -> dict[int, dict[str, Movement]]:
    """:func:`moves_of` each swap, by its key."""
    corrects = _corrected({swap.pk: swap.corrects_id for swap in swaps})
    parts = [f"movement__{part}" for part in OF_MOVEMENT]
    links = sorted(
        SwapMovement.objects.filter(swap__in=corrects).select_related(*parts),
        key=lambda link: link.pk,  # here, not by Django: see ``whole``
    )
    latest = in_force([link.movement for link in links])
    own: dict[int, dict[str, Movement]] = defaultdict(dict)
    for link in links:
        movement = latest[link.movement_id]
        if movement is not None:
            own[link.swap_id][link.role] = movement
    found: dict[int, dict[str, Movement]] = {}
    for swap in corrects:
        line: list[int] = []
        at: int | None = swap
        while at is not None:
            line.append(at)
            at = corrects[at]
        # The first swap's movements first: what a correction moved counts over what it corrects.
        found[swap] = {role: move for key in reversed(line) for role, move in own[key].items()}
    return found


def _corrected(corrects: dict[int, int | None]) -> dict[int, int | None]:
    """These swaps and all that they correct, each with the one that it corrects itself."""
    wanted = {key for key in corrects.values() if key is not None} - corrects.keys()
    while wanted:
        corrects |= Swap.objects.filter(pk__in=wanted).values_list("pk", "corrects")
        wanted = {key for key in corrects.values() if key is not None} - corrects.keys()
    return corrects


def in_force(movements: Iterable[Movement]) -> dict[int, Movement | None]:
    """What each movement was corrected to in the end, by its key; None if that was annulled."""
    found = {movement.pk: movement for movement in movements}
    while later := {key: _later(each) for key, each in found.items() if _later(each) is not None}:
        read = Movement.objects.select_related(*OF_MOVEMENT).in_bulk(later.values())
        found |= {key: read[pk] for key, pk in later.items() if pk is not None}
    return {
        key: None if hasattr(movement, "annulment") else movement for key, movement in found.items()
    }


def _later(movement: Movement) -> int | None:
    later = getattr(movement, "corrected_by", None)
    return later.pk if later is not None else None


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
