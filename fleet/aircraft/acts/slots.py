"""Hangar slots: each holds one aircraft on a day. How a check says its slot and its people."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any, Protocol

from fleet.acts.fields import Heading, number, text
from fleet.house.refusals import Refusal
from fleet.models import Check
from fleet.words.said import day_words

MOST_PEOPLE = 500


def slot_said() -> Any:
    """The field of a check's hangar slot; not said, it is as it was."""
    return text(
        "Hangar slot",
        16,
        default=None,
        help="The slot or bay of the hangar, which holds one aircraft. Not said: as it is.",
        hint="As the hangar calls it. It holds one aircraft at a time.",
        heading=Heading(
            "Hangar slot", "The slot or bay of the hangar; blank: as it is.", ("slot", "bay")
        ),
    )


def people_said() -> Any:
    """The field of how many people a check needs; not said, it is as it was."""
    return number(
        "People a day",
        most=MOST_PEOPLE,
        default=None,
        help="How many it needs on each of its days; 0: nobody has said. Not said: as it is.",
        hint="How many it needs on each of its days; 0: nobody has said.",
        heading=Heading(
            "People a day", "How many it needs on each of its days; blank: as it is.", ("people",)
        ),
    )


class Ground(Protocol):
    """A check, planned or said."""

    @property
    def aircraft_id(self) -> int: ...
    @property
    def name(self) -> str: ...
    @property
    def starts_on(self) -> date: ...
    @property
    def ends_on(self) -> date: ...
    @property
    def station_id(self) -> int: ...
    @property
    def slot(self) -> str | None: ...
    @property
    def is_cancelled(self) -> bool: ...


def last_day(check: Ground) -> date:
    """The last day on the ground: of one that was closed earlier that day."""
    return check.last_on if isinstance(check, Check) else check.ends_on


def why_not_in_slots(
    rows: Sequence[Ground],
    stood: Mapping[tuple[int, str, date], Check | None],
    besides: frozenset[int],
) -> Iterator[tuple[int, Refusal]]:
    """The rows (by their place) whose hangar slot another check has on one of their days, its last day too.
    ``stood`` has, by aircraft, name and first day, the check that each row is; those of ``besides`` are in
    nobody's way. One question where a row has a slot."""
    said = []
    for at, row in enumerate(rows):
        was = stood.get((row.aircraft_id, row.name, row.starts_on))
        slot = (row.slot if row.slot is not None else was.slot if was else "").strip()
        if slot and not row.is_cancelled and row.ends_on >= row.starts_on:
            said.append((at, row, slot))
    if not said:
        return
    own = {each.pk for each in stood.values() if each is not None} | besides
    there = Check.objects.filter(
        is_cancelled=False, station__in={row.station_id for _, row, _ in said}
    )
    beside: list[tuple[Ground, str]] = [
        (each, each.slot)
        for each in there.exclude(slot="").exclude(pk__in=own).select_related("aircraft")
    ]
    for at, row, slot in said:
        for other, taken in beside:
            if taken.lower() == slot.lower() and _meet(row, other):
                yield at, _taken(slot, other)
                break
        beside.append((row, slot))


def _meet(one: Ground, other: Ground) -> bool:
    is_there = one.station_id == other.station_id
    return is_there and one.starts_on <= last_day(other) and other.starts_on <= last_day(one)


def _taken(slot: str, other: Ground) -> Refusal:
    whose = f" of {other.aircraft}" if isinstance(other, Check) else ""
    words = (
        f"Slot {slot} is taken by {other.name}{whose}, {day_words(other.starts_on)} to"
        f" {day_words(last_day(other))}. Take another slot or other days."
    )
    return Refusal("slot_taken", words, "slot")
