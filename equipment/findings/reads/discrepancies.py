"""Discrepancies for the controller: the open ones with what each way of settling needs, the settled ones."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.db.models import Q

from equipment.common.wording import (
    PLACE_PARTS,
    happened_on_words,
    movement_words,
    place_words,
    unit_words,
)
from equipment.findings.walk.record import occupants
from equipment.models import Discrepancy, Movement, Settlement, Swap, Unit
from fleet.words.said import day_words

MOST = 100
PARTS = (
    "aircraft",
    "found_by",
    "recorded_unit__part_number",
    "found_unit__part_number",
    "sighting",
    "walk_round__station",
    "swap__station",
    "movement__unit",
    "settlement__settled_by",
    "entry__step",
    *(f"place__{part}" for part in PLACE_PARTS),
)
CHANGE, UNKNOWN, FACT, MISREAD, PUT_RIGHT = "change", "unknown", "fact", "misread", "put_right"


@dataclass(frozen=True, slots=True)
class Way:
    """One way to settle: its title, and what it needs to be given."""

    code: str
    title: str
    needs: tuple[str, ...]


_DONE = ("the day it happened", "the document that says so", "where the recorded unit went")
WAYS: dict[str, Way] = {
    CHANGE: Way(CHANGE, "A change that nobody recorded", _DONE),
    UNKNOWN: Way(UNKNOWN, "Put the unit on record", ("its part and serial number", *_DONE)),
    PUT_RIGHT: Way(PUT_RIGHT, "It was put right by a later work", ("the work and its document",)),
    FACT: Way(FACT, "Settled by what was recorded since", ("the movement or the swap",)),
    MISREAD: Way(MISREAD, "It was misread, the record is right", ("who looked again",)),
}
#: The ways open to each sort, the likeliest first.
OPEN_TO: dict[str, tuple[str, ...]] = {
    "other_unit": (CHANGE, MISREAD, FACT),
    "no_unit": (CHANGE, MISREAD, FACT),
    "unrecorded_unit": (CHANGE, MISREAD, FACT),
    "unknown_unit": (UNKNOWN, CHANGE, MISREAD, FACT),
    "condition": (PUT_RIGHT, MISREAD, FACT),
    "nonconforming": (FACT,),
    "tool": (PUT_RIGHT, MISREAD, FACT),
    "late_entry": (PUT_RIGHT, FACT),
    "not_shown": (PUT_RIGHT, FACT),
}


@dataclass(frozen=True, slots=True)
class Named:
    """Something to choose: its key and its words."""

    id: int
    words: str


@dataclass(frozen=True, slots=True)
class DiscrepancyShown:
    """One discrepancy with all that its page shows and the acts of settling need."""

    id: int
    sort: str
    where: str
    registration: str
    words: str
    recorded: Named | None
    found: Named | None
    there: tuple[Named, ...]
    plate: tuple[str, str]
    found_at: datetime
    found_by: str
    swap_id: int | None
    walk_round_id: int | None
    step_number: int | None
    station_id: int | None
    ways: tuple[Way, ...]
    movements: tuple[Named, ...]
    swaps: tuple[Named, ...]
    settled: str

    @property
    def is_open(self) -> bool:
        return not self.settled


def open_ones() -> list[DiscrepancyShown]:
    """What waits to be settled, the oldest first."""
    waiting = Discrepancy.objects.filter(settlement=None).select_related(*PARTS)
    return [_shown(each, []) for each in waiting.order_by("found_at", "pk")[:MOST]]


def discrepancy_shown(discrepancy_id: int) -> DiscrepancyShown | None:
    """One discrepancy with what was recorded since, which may settle it."""
    found = Discrepancy.objects.select_related(*PARTS).filter(pk=discrepancy_id).first()
    if found is None:
        return None
    stays = occupants([found.place_id or 0], found.found_at).get(found.place_id or 0, [])
    return _shown(found, [stay.unit for stay in stays], is_whole=True)


def _shown(found: Discrepancy, there: list[Unit], *, is_whole: bool = False) -> DiscrepancyShown:
    seen, where = found.sighting, found.swap or found.walk_round or found.aircraft
    return DiscrepancyShown(
        id=found.pk,
        sort=found.get_sort_display(),
        where=place_words(found.place) if found.place else str(found.aircraft or ""),
        registration=found.aircraft.registration if found.aircraft else "",
        words=found.words,
        recorded=_named(found.recorded_unit),
        found=_named(found.found_unit),
        there=tuple(Named(unit.pk, unit_words(unit)) for unit in there),
        plate=(seen.part_number_read, seen.serial_number_read) if seen else ("", ""),
        found_at=found.found_at,
        found_by=found.found_by.shown_name,
        swap_id=found.swap_id,
        walk_round_id=found.walk_round_id,
        step_number=found.entry.step.number if found.entry else None,
        station_id=where.station_id if where is not None else None,
        ways=tuple(WAYS[code] for code in OPEN_TO[found.sort]),
        movements=tuple(_movements_since(found)) if is_whole else (),
        swaps=tuple(_swaps_since(found)) if is_whole else (),
        settled=settled_words(found),
    )


def _named(unit: Unit | None) -> Named | None:
    return Named(unit.pk, unit_words(unit)) if unit else None


def settled_words(found: Discrepancy) -> str:
    """How it was settled, by whom; empty while it waits."""
    done: Settlement | None = getattr(found, "settlement", None)
    if done is None:
        return ""
    return f"{done.get_sort_display().capitalize()}: {done.words} {done.settled_by.shown_name}"


def _movements_since(found: Discrepancy) -> list[Named]:
    """Movements in force of these units, or to this place, recorded after it was found."""
    units = {found.recorded_unit_id, found.found_unit_id}
    units |= {found.movement.unit_id} if found.movement else set()
    about = Q(unit__in=units - {None})
    if found.place_id is not None:
        about |= Q(to_place=found.place_id)
    since = Movement.objects.filter(
        about, is_conforming=True, corrected_by=None, annulment=None, recorded_at__gt=found.found_at
    ).select_related("unit__part_number", *(f"to_place__{part}" for part in PLACE_PARTS))
    return [
        Named(each.pk, f"{unit_words(each.unit)} {movement_words(each)}, {happened_on_words(each)}")
        for each in since.order_by("-pk")[:20]
    ]


def _swaps_since(found: Discrepancy) -> list[Named]:
    """Swaps at the place that were released after it was found, or in which it was found."""
    if found.place_id is None:
        return []
    since = Q(end__sort="released", end__at__gte=found.found_at) | Q(pk=found.swap_id or 0)
    swaps = Swap.objects.filter(since, place=found.place_id).exclude(end__sort="abandoned")
    return [
        Named(each.pk, f"Swap {each.pk}, opened {day_words(each.opened_at.date())}: {each.reason}")
        for each in swaps.order_by("-pk")[:20]
    ]
