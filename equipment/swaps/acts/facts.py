"""What the acts of a swap take and give back: plain, frozen facts."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from equipment.availability.acts.tag_facts import TagFact
from equipment.common.attached import FileFact
from equipment.common.said import station_coded, unit_row
from equipment.judging.release.on_card import StepOnCard
from equipment.ledger.facts import PlaceAt, When
from equipment.models import Swap
from equipment.swaps.reads.ink import Ink
from fleet.acts.fields import choice, number, part, text
from fleet.house.moments import refuse_future
from fleet.house.refusals import Refusal, Refused
from fleet.house.texts import refuse_blank, refuse_long
from fleet.words.said import day_words

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
    work: str = text("Work", 32, default="", help="Of a work done in place: its code.")
    unit_id: int | None = unit_row(
        "The unit", default=None, help="Of a work done in place: which of several there."
    )
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
    the card has one; ``performed`` who did the work, if it was another. ``steps`` are the times that the
    card has at steps. ``minutes`` and ``cycles`` are the aircraft's, as read.
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
    performed: str = ""
    steps: tuple[StepOnCard, ...] = ()

    @property
    def is_off(self) -> bool:
        return self.off_id is not None or self.off_found is not None

    @property
    def is_on(self) -> bool:
        return self.on_id is not None or self.on_found is not None


def refuse_card(card: Card, at: datetime) -> None:
    """This will refuse a card without reference, reason or either unit, without where the removed unit
    went, ink without a name, and ink or times of a day to come or before the work."""
    refuse_blank(card.reference, "Give the card's reference.", "reference", 80)
    refuse_blank(card.reason, "Say why it was changed.", "reason", MOST_REASON)
    refuse_long(card.performed, "performed", 120)
    if not (card.is_off or card.is_on):
        words = "Say what came off, what went on, or both, as the card has it."
        raise Refused("missing", words, "off")
    if card.is_off and (card.off_to is None or card.tag is None):
        words = "Say where the unit that came off went, and how it was tagged."
        raise Refused("missing", words, "off_to")
    for field, ink in (("released", card.released), ("inspected", card.inspected)):
        if ink is not None:
            _refuse_ink(ink, field, card.when.day, at)
    for step in card.steps:
        for each in (step.done_at, step.inspected_at):
            if each is not None:
                _refuse_time(each, step.number, card.when.day, at)


def _refuse_ink(ink: Ink, field: str, done_on: date, at: datetime) -> None:
    refuse_blank(ink.signer, "Give the name of who signed, as it stands on the card.", field, 120)
    refuse_long(ink.stamp, field, 40)
    refuse_future(ink.on, at, field, "give the day beside the signature.")
    if ink.on < done_on:
        words = f"It was signed on {day_words(ink.on)}, before the work was done: check both days."
        raise Refused("signed_before_work", words, field)


def _refuse_time(moment: datetime, number: int, done_on: date, at: datetime) -> None:
    refuse_future(moment, at, "steps", "give the time that the card has.")
    if (done_on - moment.date()).days > 1:
        words = (
            f"The card has {day_words(moment.date())} at step {number}, before the work was done: check "
            "both days."
        )
        raise Refused("signed_before_work", words, "steps")
