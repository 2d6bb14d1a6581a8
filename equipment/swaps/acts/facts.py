"""What the acts of a swap take and give back: plain, frozen facts."""

from __future__ import annotations

from dataclasses import dataclass

from equipment.ledger.facts import PlaceAt
from fleet.house.refusals import Refusal


@dataclass(frozen=True, slots=True)
class NewSwap:
    """A swap to be opened. ``sort`` is one of ``Swap.SORTS``; ``due_item`` what it is begun from.

    A ``swap`` at a position where nothing is recorded is opened as a ``fitting``.
    """

    place: int | PlaceAt
    station_id: int
    reason: str
    sort: str = "swap"
    planned_on_id: int | None = None
    due_item: int | None = None
    donor_of_id: int | None = None


@dataclass(frozen=True, slots=True)
class FoundUnit:
    """A unit as its plate reads, when it is on no record."""

    part_number: str
    serial_number: str


@dataclass(frozen=True, slots=True)
class Moved:
    """What became of a removal or installation: conforming, or why not and which discrepancy.

    ``movement_id`` is None of a unit that is on no record: it was noted as seen.
    """

    movement_id: int | None
    is_conforming: bool
    reasons: tuple[Refusal, ...] = ()
    discrepancy_id: int | None = None
