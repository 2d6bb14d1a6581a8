"""The rows of the line's lists of swaps: a fixed number of queries for any number of swaps."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.db.models import QuerySet
from django.urls import NoReverseMatch, reverse

from equipment.common.wording import place_words, unit_words
from equipment.models import Discrepancy, Movement, Swap, SwapMovement, Unit
from equipment.swaps.reads import whereabouts
from equipment.swaps.reads.rows import WITH_PLACE
from equipment.swaps.reads.same_mistake import same_mistake_of
from equipment.swaps.reads.whereabouts import calls
from fleet.models import User

from .shown import SwapPage, SwapSteps, steps_of
from .step_rows import Phase

MOST_OPEN, MOST_ENDED = 40, 20
RELEASE = "release"
__all__ = ["calls", "ended_rows", "open_rows", "print_href", "uninspected", "warnings_of"]


@dataclass(frozen=True, slots=True)
class OpenRow:
    """An open swap: how far it is, whom it waits for, who is there."""

    id: int
    registration: str
    position_code: str
    station: str
    title: str
    reason: str
    off: str
    on: str
    phases: list[Phase]
    done: int
    total: int
    outs: int
    waits_for: str
    is_nonconforming: bool
    people: list[str]
    opened_at: datetime
    opened_by: str


@dataclass(frozen=True, slots=True)
class EndedRow:
    """A swap that ended lately."""

    id: int
    registration: str
    position_code: str
    title: str
    reason: str
    off: str
    on: str
    ended_at: datetime
    ended_words: str


@dataclass(frozen=True, slots=True)
class Uninspected:
    """A swap with steps that are signed and wait to be inspected."""

    swap_id: int
    registration: str
    position_code: str
    words: str


def _swaps(is_open: bool) -> QuerySet[Swap]:
    swaps = (
        Swap.objects.filter(end__isnull=is_open)
        .select_related(
            "aircraft",
            "station",
            "step_list",
            "rule_set",
            "opened_by",
            "expected_off__part_number",
            "planned_on__part_number",
            "end__by",
        )
        .prefetch_related(WITH_PLACE)
    )
    return swaps.order_by("opened_at", "pk") if is_open else swaps.order_by("-end__at", "-pk")


def open_steps() -> list[SwapSteps]:
    """The open swaps with their steps as they stand, the oldest first."""
    return steps_of(_swaps(is_open=True)[:MOST_OPEN])


def open_rows(now: datetime) -> list[OpenRow]:
    """The open swaps, the oldest first."""
    found = open_steps()
    keys = [shown.id for shown in found]
    here, disputed = whereabouts.here_by_swap(keys, now), _with_discrepancies(keys)
    return [
        _open_row(shown, [each.name for each in here[shown.id]], shown.id in disputed)
        for shown in found
    ]


def _with_discrepancies(swap_ids: list[int]) -> set[int | None]:
    open_ones = Discrepancy.objects.filter(swap__in=swap_ids, settlement__isnull=True)
    return set(open_ones.values_list("swap", flat=True))


def _stays(shown: SwapSteps) -> str:
    return "in place" if shown.is_in_place else "to come off"


def _open_row(shown: SwapSteps, people: list[str], is_nonconforming: bool) -> OpenRow:
    off, on = shown.moves.get(SwapMovement.OFF), shown.moves.get(SwapMovement.ON)
    return OpenRow(
        id=shown.id,
        registration=shown.registration,
        position_code=shown.position_code,
        station=shown.swap.station.name,
        title=shown.title,
        reason=shown.reason,
        off=_said(off, "off") or _said(shown.swap.expected_off, _stays(shown)),
        on=_said(on, "on") or _said(shown.swap.planned_on, "to go on"),
        phases=shown.phases,
        done=shown.done,
        total=shown.total,
        outs=shown.outs,
        waits_for=waits_for(shown),
        is_nonconforming=is_nonconforming,
        people=people,
        opened_at=shown.opened_at,
        opened_by=shown.opened_by,
    )


def _said(what: Movement | Unit | None, how: str) -> str:
    unit = what.unit if isinstance(what, Movement) else what
    return f"{how}: {unit_words(unit)}" if unit is not None else ""


def waits_for(shown: SwapSteps) -> str:
    """Whom a swap waits for: the technician, the inspector or whoever releases."""
    if shown.next_row is not None:
        return f"step {shown.next_row.number}"
    if shown.to_sign:
        return "sign-off of steps"
    if shown.to_inspect:
        return "the inspector"
    return "a step put right" if shown.outs else RELEASE


def ended_rows() -> list[EndedRow]:
    """The swaps that ended lately, the latest first."""
    swaps = list(_swaps(is_open=False)[:MOST_ENDED])
    moves = SwapMovement.objects.filter(swap__in=swaps).select_related(
        "movement__unit__part_number"
    )
    units = {(move.swap_id, move.role): unit_words(move.movement.unit) for move in moves}
    return [_ended_row(swap, units) for swap in swaps]


def _ended_row(swap: Swap, units: dict[tuple[int, str], str]) -> EndedRow:
    position = swap.place.aircraft_position
    end = swap.end
    return EndedRow(
        id=swap.pk,
        registration=swap.aircraft.registration if swap.aircraft else "",
        position_code=position.type_position.code if position else place_words(swap.place),
        title=swap.step_list.title if swap.step_list else swap.get_sort_display(),
        reason=swap.reason,
        off=units.get((swap.pk, SwapMovement.OFF), ""),
        on=units.get((swap.pk, SwapMovement.ON), ""),
        ended_at=end.at,
        ended_words=f"{end.get_sort_display()} by {end.by.shown_name}",
    )


def uninspected(now: datetime) -> list[Uninspected]:
    """Open swaps with signed steps that wait to be inspected, though nobody called."""
    found = []
    for shown in open_steps():
        if count := len(shown.to_inspect):
            words = f"{count} step{'s wait' if count > 1 else ' waits'}"
            found.append(Uninspected(shown.id, shown.registration, shown.position_code, words))
    return found


def warnings_of(shown: SwapPage, by: User) -> list[str]:
    """What to be warned of besides what stands in the way."""
    found = []
    if shown.swap.corrects_id:
        found.append(
            f"This swap corrects swap {shown.swap.corrects_id}, because: "
            f"{shown.swap.correction_reason}. The signatures of that one do not count here."
        )
    if shown.is_open and (twice := same_mistake_of(shown.swap, by)):
        found.append(twice)
    return found


def print_href(swap_id: int) -> str:
    """Where the swap is printed; empty while there is no such page."""
    try:
        return reverse("equipment:swap_print", args=[swap_id])
    except NoReverseMatch:
        return ""
