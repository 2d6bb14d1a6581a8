"""A discrepancy is settled by a later fact that is on record, or by the record as it stands."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from equipment.common.texts import derived_act_id
from equipment.ledger.facts import SightingFact, When
from equipment.models import Settlement
from equipment.units.acts.sightings import record_sightings
from fleet.acts.act import Act
from fleet.acts.fields import choice, number, text
from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.house.texts import refuse_blank
from fleet.models import User

from .later_fact import refuse_other_fact
from .settling import MOST_WORDS, Settled, lock_discrepancy, settled_before, waits, write


@transaction.atomic
def settle(
    *,
    by: User,
    discrepancy_id: int,
    sort: str,
    words: str,
    act_id: UUID,
    at: datetime,
    movement_id: int | None = None,
    swap_id: int | None = None,
) -> Settled:
    """This will settle a discrepancy by a later fact that is on record already.

    ``sort`` is one of ``Settlement.SORTS``. A condition or a tool's value may be ``put_right`` by a
    work that is neither movement nor swap: then the words name it. Refuses a fact that is not later,
    not in force, or of something else, and one settled already.
    """
    ask(by, "settle_discrepancy")
    if sort not in dict(Settlement.SORTS):
        raise Refused("unknown_sort", "Choose one of the ways listed.", "sort")
    if sort == "record_right":
        return settle_as_misread(
            by=by, discrepancy_id=discrepancy_id, words=words, act_id=act_id, at=at
        )
    fact = {"movement_id": movement_id, "swap_id": swap_id}
    told = {"discrepancy_id": discrepancy_id, "sort": sort, "words": words, **fact}
    if done := settled_before(act_id, "settle", told, by=by, at=at):
        return done
    said = refuse_blank(words, "Say how it was settled.", "words", MOST_WORDS)
    found = lock_discrepancy(discrepancy_id)
    refuse_other_fact(found, sort, movement_id, swap_id)
    return write(found, sort=sort, words=said, **fact, by=by, act_id=act_id, at=at)


@transaction.atomic
def settle_as_misread(
    *, by: User, discrepancy_id: int, words: str, act_id: UUID, at: datetime
) -> Settled:
    """This will settle a discrepancy with the record as it stands: it was misread.

    The later fact is a sighting that settles the first. Refuses one that was done though it does
    not conform, or whose movement was neither corrected nor annulled.
    """
    ask(by, "settle_discrepancy")
    told = {"discrepancy_id": discrepancy_id, "words": words}
    if done := settled_before(act_id, "settle_as_misread", told, by=by, at=at):
        return done
    said = refuse_blank(
        words, "Say who looked again, and what is really there.", "words", MOST_WORDS
    )
    found = lock_discrepancy(discrepancy_id)
    if found.sort == "nonconforming" or waits(found.movement):
        sentence = "A movement was recorded that does not conform: correct or annul it first."
        raise Refused("movement_waits", sentence, "sort")
    seen = found.sighting
    if seen is not None and not hasattr(seen, "reconciled_by"):
        fact = SightingFact(
            act_id=derived_act_id(act_id, "sighting"),
            when=When(at),
            place=found.place_id,
            unit_id=found.recorded_unit_id,
            note=said[:200],
            reconciles=seen.pk,
        )
        record_sightings(by=by, rows=[fact], at=at)
    return write(found, sort="record_right", words=said, by=by, act_id=act_id, at=at)


@dataclass(frozen=True, slots=True)
class SettledBy:
    """How a discrepancy was settled, by which later fact."""

    discrepancy_id: int = number("The discrepancy", least=1, name="discrepancy")
    sort: str = choice("It was settled", Settlement.SORTS)
    words: str = text("In words", MOST_WORDS, needed="Say how it was settled.")
    movement_id: int | None = number(
        "Movement recorded since", name="movement", default=None, help="A later one."
    )
    swap_id: int | None = number("Swap", name="swap", default=None, help="A later one.")


# --- declared ---------------------------------------------------------------------------------

#: It is claimed as ``settle``, or as ``settle_as_misread``; what it gives says whether it is new.
SETTLE = Act(
    name="settle_discrepancy",
    claimed="settle",
    does=settle,
    said=SettledBy,
    tag="Walk-rounds",
    summary="Settle a discrepancy",
    description="Settles a discrepancy by a later fact that is on record: a movement, a swap, a work "
    "that the words name.",
    address="discrepancies/<int:discrepancy_id>/settlement",
    in_address=("discrepancy_id",),
    example={
        "act_id": "0b8c0d1e-7c58-4d0c-8f3c-0f2f6d1f6c09",
        "sort": "put_right",
        "words": "Pin stowed in its pouch, WO-2240.",
    },
)
