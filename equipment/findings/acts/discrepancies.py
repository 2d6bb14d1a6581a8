"""A discrepancy is settled by a change that nobody recorded, or by a unit now on record.

Each settlement names the later fact. The controller alone settles; whoever found it only says so.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime
from uuid import UUID

from django.db import transaction

from equipment.common.clashes import told_by_name
from equipment.common.texts import derived_act_id
from equipment.common.wording import place_words, unit_words
from equipment.keeping.correct import reconcile_movements
from equipment.ledger.facts import PlaceAt, UnitFact, When
from equipment.models import Certificate, Discrepancy, PartNumber, Unit
from equipment.units.acts.units import enter_units
from fleet.acts.repeats import Said
from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.house.texts import refuse_blank, refuse_long
from fleet.models import User
from fleet.words.said import dated_words

from .by_fact import settle, settle_as_misread
from .settling import (
    Settled,
    lock_discrepancy,
    recorded_of,
    settled_before,
    unit_named,
    waits,
    write,
)
from .true_history import Story, tell

__all__ = [
    "Happened",
    "Settled",
    "settle",
    "settle_as_misread",
    "settle_as_unknown_unit",
    "settle_as_unrecorded_swap",
]
NO_PAPERS = "Neither a certificate nor a life statement of it is recorded: the data of its limits are missing until they are."


@dataclass(frozen=True, slots=True)
class Happened:
    """A change that nobody had recorded: when, by which document, where the recorded unit went.

    ``to`` None: nothing came off. ``minutes`` and ``cycles`` are the aircraft's, as read then.
    ``annul_later`` says that what is recorded of the found unit since never happened.
    """

    when: When
    document: str
    to: int | PlaceAt | None = None
    words: str = ""
    minutes: int | None = None
    cycles: int | None = None
    log_page: str = ""
    annul_later: bool = False


@transaction.atomic
def settle_as_unrecorded_swap(
    *,
    by: User,
    discrepancy_id: int,
    found_unit_id: int | None,
    happened: Happened,
    act_id: UUID,
    at: datetime,
    recorded_unit_id: int | None = None,
) -> Settled:
    """This will record the change that nobody recorded, so that both units' histories come out right.

    The recorded unit came off then and went ``to``; the found one went on then, out of wherever it
    is recorded. Without ``found_unit_id`` nothing went on. ``recorded_unit_id`` says which of
    several came off. Refuses without a document, a time after it was found, a destination that is
    missing, and what still contradicts the records.
    """
    ask(by, "settle_discrepancy")
    said: Said = {"discrepancy_id": discrepancy_id, "found_unit_id": found_unit_id}
    said |= {"happened": happened, "recorded_unit_id": recorded_unit_id}
    if done := settled_before(act_id, "settle_as_unrecorded_swap", said, by=by, at=at):
        return done
    with told_by_name():
        found = lock_discrepancy(discrepancy_id)
        story = _story(found, happened, by=by, act_id=act_id, at=at)
        off = recorded_of(found, recorded_unit_id)
        on = unit_named(found_unit_id, "found_unit") if found_unit_id is not None else None
        return _tell(found, _with(story, off, on), happened, "swap_recorded")


@transaction.atomic
def settle_as_unknown_unit(
    *,
    by: User,
    discrepancy_id: int,
    part_number_id: int,
    serial_number: str,
    happened: Happened,
    act_id: UUID,
    at: datetime,
    manufactured_on: date | None = None,
    recorded_unit_id: int | None = None,
) -> Settled:
    """This will enter the unit that was found and record that it went on then.

    Without a life statement its limits have no basis, and the settlement says which papers are
    missing. Refuses an unknown part number, no serial number, and as an unrecorded swap does.
    """
    ask(by, "settle_discrepancy")
    told: Said = {"discrepancy_id": discrepancy_id, "part_number_id": part_number_id}
    told |= {"serial_number": serial_number, "manufactured_on": manufactured_on}
    told |= {"happened": happened, "recorded_unit_id": recorded_unit_id}
    if done := settled_before(act_id, "settle_as_unknown_unit", told, by=by, at=at):
        return done
    serial = refuse_blank(
        serial_number, "Give the serial number on the plate.", "serial_number", 40
    )
    if not PartNumber.objects.filter(pk=part_number_id).exists():
        words = "There is no such part number: have it entered first."
        raise Refused("unknown_part_number", words, "part_number")
    with told_by_name():
        found = lock_discrepancy(discrepancy_id)
        story = _story(found, happened, by=by, act_id=act_id, at=at)
        note = f"found at {place_words(found.place)}, discrepancy {found.pk}"
        fact = UnitFact(part_number_id, serial.upper(), manufactured_on=manufactured_on, note=note)
        [entered] = enter_units(by=by, rows=[fact], at=at)
        off = recorded_of(found, recorded_unit_id)
        return _tell(
            found, _with(story, off, unit_named(entered.id, "unit")), happened, "unit_received"
        )


def _tell(found: Discrepancy, story: Story, happened: Happened, sort: str) -> Settled:
    """The story into the ledger, a movement that waited for it taken up again, the settlement written."""
    if story.recorded is not None and story.to is None:
        words = f"Say where {unit_words(story.recorded)} went."
        raise Refused("missing", words, "to")
    movement_id = tell(story, annul_later=happened.annul_later)
    held = found.movement
    if held is not None and waits(held) and story.found and held.unit_id == story.found.pk:
        act = derived_act_id(story.act_id, "taken up again")
        reconcile_movements(by=story.by, movement_ids=[held.pk], act_id=act, at=story.at)
    words = happened.words.strip() or _said(story)
    if story.found is not None and not Certificate.objects.filter(unit=story.found).exists():
        words = f"{words} {NO_PAPERS}" if sort == "unit_received" else words
    return write(
        found,
        sort=sort,
        words=words,
        movement_id=movement_id,
        by=story.by,
        act_id=story.act_id,
        at=story.at,
    )


def _said(story: Story) -> str:
    day = dated_words(story.happened.day, story.happened.precision)
    off = f"{unit_words(story.recorded)} came off" if story.recorded else ""
    on = f"{unit_words(story.found)} went on" if story.found else ""
    what = ", ".join(part for part in (off, on) if part)
    return f"{what} on {day} at {place_words(story.place)}, by {story.document}."


def _story(
    found: Discrepancy, happened: Happened, *, by: User, act_id: UUID, at: datetime
) -> Story:
    document = refuse_blank(
        happened.document,
        "Give the document that says so: a log page, a card, a statement.",
        "document",
        80,
    )
    refuse_long(happened.words, "words", 250)
    refuse_long(happened.log_page, "log_page", 40)
    if found.place is None or found.place.capacity is None:
        words = "Nobody can have changed a unit here: this is about no position."
        raise Refused("no_position", words, "sort")
    if happened.when.at > found.found_at:
        raise Refused(
            "after_it_was_found",
            "It was found before that: give the day of the change.",
            "happened_on",
        )
    return Story(
        by,
        act_id,
        at,
        found.place,
        _station_of(found),
        None,
        None,
        happened.when,
        found.found_at,
        happened.to,
        document,
        happened.minutes,
        happened.cycles,
        happened.log_page.strip(),
    )


def _with(story: Story, recorded: Unit | None, found: Unit | None) -> Story:
    return replace(story, recorded=recorded, found=found)


def _station_of(found: Discrepancy) -> int:
    for where in (found.swap, found.walk_round):
        if where is not None:
            return int(where.station_id)
    assert found.aircraft is not None
    return int(found.aircraft.station_id)
