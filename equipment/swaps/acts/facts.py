"""What the acts of a swap take and give back: plain, frozen facts."""

from __future__ import annotations

from dataclasses import dataclass

from equipment.availability.acts.tag_facts import TagFact
from equipment.common.attached import FileFact
from equipment.common.said import station_coded, unit_row
from equipment.ledger.facts import PlaceAt, When
from equipment.models import Swap
from equipment.swaps.reads.ink import Ink
from fleet.acts.fields import choice, number, part, text
from fleet.house.refusals import Refusal

MOST_REASON = 200


@dataclass(frozen=True, slots=True)
class NewSwap:
    """A swap to be opened. ``sort`` is one of ``Swap.SORTS``; ``due_item`` what it is begun from.

    A ``swap`` at a position where nothing is recorded is opened as a ``fitting``.
    """

    place: int | PlaceAt = part("The position", PlaceAt)
    station_id: int = station_coded(help="Where it is done.")
    reason: str = text("Why", MOST_REASON, needed="Say why it is changed.")
    sort: str = choice("Sort", Swap.SORTS, default="swap")
    planned_on_id: int | None = unit_row("To go on", default=None, help="To go on.")
    due_item: int | None = number("The due item", default=None, help="Begun from it.")
    donor_of_id: int | None = number(
        "The swap a unit is taken for",
        name="donor_of",
        default=None,
        help="The swap a unit is taken for.",
    )


@dataclass(frozen=True, slots=True)
class WithReason:
    """Why a swap is given up, or corrected."""

    swap_id: int = number("The swap", least=1, name="swap")
    reason: str = text("Why", MOST_REASON, needed="Say why, in a few words.")


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


@dataclass(frozen=True, slots=True)
class Card:
    """A swap as its card tells it. Units by key, or as their plates read where they are on no record.

    ``released`` is the ink under the release, ``inspected`` that of the independent inspection, if
    the card has one. ``minutes`` and ``cycles`` are the aircraft's, as read.
    """

    place: int | PlaceAt
    station_id: int
    reference: str
    reason: str
    when: When
    released: Ink
    page: FileFact
    off_id: int | None = None
    off_found: FoundUnit | None = None
    off_to: PlaceAt | None = None
    tag: TagFact | None = None
    on_id: int | None = None
    on_found: FoundUnit | None = None
    inspected: Ink | None = None
    minutes: int | None = None
    cycles: int | None = None
    log_page: str = ""
    is_confirmed: bool = False
