"""A swap as its pages show it: who, where, how far, what stands in the way; a fixed number of queries."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from django.utils import timezone

from equipment.common.wording import place_words
from equipment.judging.release.obstacles import Obstacle, StepState, SwapState, stands_in_the_way
from equipment.models import Discrepancy, Movement, Swap, SwapEnd, SwapMovement
from equipment.swaps.reads.ink import days_late
from equipment.swaps.reads.resting import Resting, resting_of
from equipment.swaps.reads.rows import WHOLE, WITH_PLACE, SwapRows, rows_of, rows_of_many
from equipment.swaps.reads.state import state_of_rows, step_states
from fleet.words.said import days_words, moment_words

from .named import Ended, Named, ended_words, moved, named
from .step_rows import Phase, StepRow, phases_of

NO_STEP = StepState(0, "", "", "", is_needed=False, is_inspected=False)


@dataclass(frozen=True)
class SwapSteps:
    """One swap with its steps as they stand, ready to be read."""

    swap: Swap
    rows: list[StepRow]
    moves: Mapping[str, Movement]

    @property
    def id(self) -> int:
        return self.swap.pk

    @property
    def registration(self) -> str:
        return self.swap.aircraft.registration if self.swap.aircraft else ""

    @property
    def position_code(self) -> str:
        position = self.swap.place.aircraft_position
        return position.type_position.code if position else place_words(self.swap.place)

    @property
    def is_in_place(self) -> bool:
        """Whether it is a work done in place: nothing comes off or goes on."""
        return self.swap.sort == Swap.IN_PLACE

    @property
    def title(self) -> str:
        return self.swap.step_list.title if self.swap.step_list else self.swap.get_sort_display()

    @property
    def document(self) -> str:
        listed = self.swap.step_list
        if listed is None:
            return self.swap.card_reference or "no step list"
        card = f", card {self.swap.card_reference}" if self.swap.is_transcribed else ""
        return (
            f"{listed.document} revision {listed.document_revision}, step list {listed.code} "
            f"{listed.revision}{card}"
        )

    @property
    def end(self) -> SwapEnd | None:
        return getattr(self.swap, "end", None)

    @property
    def is_open(self) -> bool:
        return self.end is None

    @property
    def state_words(self) -> str:
        if self.end is None:
            return f"Open. {self.from_paper}".strip()
        said = f"{self.end.get_sort_display().capitalize()} {moment_words(self.end.at)}."
        return f"{said} {self.from_paper}".strip()

    @property
    def from_paper(self) -> str:
        """That it was done on a card, which, and how long after the work it was entered, by whom."""
        if not self.swap.is_transcribed:
            return ""
        late = days_late(self.swap, self.moves.values())
        after = f", {days_words(late)} after the work" if late else ""
        return f"Entered from card {self.swap.card_reference}{after}, by {self.opened_by}."

    @cached_property
    def phases(self) -> list[Phase]:
        return phases_of(self.rows)

    @property
    def done(self) -> int:
        return sum(row.condition == "done" for row in self.rows)

    @property
    def total(self) -> int:
        return len(self.rows)

    @property
    def outs(self) -> int:
        return sum(row.condition in {"out", "unjudged"} for row in self.rows)

    @property
    def unjudged(self) -> int:
        return sum(row.condition == "unjudged" for row in self.rows)

    @property
    def off_tolerance(self) -> int:
        return self.outs - self.unjudged

    @property
    def last_number(self) -> int:
        return self.rows[-1].number if self.rows else 0

    @property
    def off(self) -> Named | None:
        return moved(self.moves.get(SwapMovement.OFF), is_off=True)

    @property
    def on(self) -> Named | None:
        return moved(self.moves.get(SwapMovement.ON), is_off=False)

    @property
    def expected_off(self) -> Named | None:
        return named(self.swap.expected_off)

    @property
    def planned_on(self) -> Named | None:
        return named(self.swap.planned_on)

    @property
    def reason(self) -> str:
        return self.swap.reason

    @property
    def opened_at(self) -> Any:
        return self.swap.opened_at

    @property
    def opened_by(self) -> str:
        return self.swap.opened_by.shown_name

    @property
    def rules(self) -> str:
        return f"{self.swap.rule_set.document}, {self.swap.rule_set}"

    @property
    def step_statement(self) -> str:
        return self.swap.rule_set.step_statement

    @property
    def inspection_statement(self) -> str:
        return self.swap.rule_set.inspection_statement

    @property
    def release_statement(self) -> str:
        return self.swap.rule_set.release_statement

    @property
    def to_sign(self) -> list[StepRow]:
        return [row for row in self.rows if row.is_to_sign]

    @property
    def to_inspect(self) -> list[StepRow]:
        return [row for row in self.rows if row.is_to_inspect]

    @property
    def next_row(self) -> StepRow | None:
        """The first step that is needed and not done yet, or has to be done again."""
        rows = (row for row in self.rows if row.is_needed)
        return next((row for row in rows if row.condition in {"open", "refused"}), None)

    def row(self, number: int) -> StepRow:
        """The row of a step of this swap's list."""
        return next(row for row in self.rows if row.number == number)

    def beside(self, number: int) -> tuple[int | None, int | None]:
        """The numbers of the steps before and after."""
        numbers = [row.number for row in self.rows]
        place = numbers.index(number)
        before = numbers[place - 1] if place else None
        return before, numbers[place + 1] if place + 1 < len(numbers) else None

    @cached_property
    def ended(self) -> Ended | None:
        return ended_words(self.end) if self.end else None


@dataclass(frozen=True)
class SwapPage(SwapSteps):
    """One swap with all that its release is decided by."""

    state: SwapState
    read: SwapRows

    @cached_property
    def rests_on(self) -> Resting:
        """What a release rests on: read before it is signed, and of a swap that is released."""
        return resting_of(self.read)

    @cached_property
    def discrepancies(self) -> list[Discrepancy]:
        found = Discrepancy.objects.filter(swap=self.swap, settlement__isnull=True)
        return list(found.order_by("found_at", "pk"))

    @cached_property
    def obstacles(self) -> list[Obstacle]:
        return stands_in_the_way(self.state)


def whole_swap(swap_id: int) -> Swap | None:
    """The swap with all that its pages name."""
    found = Swap.objects.select_related(*WHOLE, "end__signature", "end__by")
    return found.prefetch_related(WITH_PLACE).filter(pk=swap_id).first()


def swap_page(swap: Swap) -> SwapPage:
    """The page of a swap that :func:`whole_swap` gave."""
    read = rows_of(swap)
    state = state_of_rows(read, timezone.now())
    return SwapPage(swap, _step_rows(read, state.steps), read.moves, state, read)


def steps_of(swaps: Iterable[Swap]) -> list[SwapSteps]:
    """Each swap with its steps, in the order given; a fixed number of queries for any number."""
    return [
        SwapSteps(read.swap, _step_rows(read, step_states(read)), read.moves)
        for read in rows_of_many(swaps).values()
    ]


def _step_rows(read: SwapRows, states: Iterable[StepState]) -> list[StepRow]:
    by_number = {step.number: step for step in states}
    listed = read.swap.step_list
    document = f"{listed.document} revision {listed.document_revision}" if listed else ""
    return [
        StepRow(
            step,
            by_number.get(step.number, NO_STEP),
            read.entry(step.pk),
            step.document or document,
            is_posted=read.move_of(step) is not None,
        )
        for step in read.steps
    ]
