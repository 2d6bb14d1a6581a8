"""A position stays open: by which document, until when; and what follows from robbing one."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime
from uuid import UUID

from django.db import transaction

from equipment.ledger.facts import PlaceAt, When
from equipment.models import OpenItem, OpenItemClosed, Place, Swap
from equipment.wording import PLACE_PARTS, place_words
from fleet.actions.repeats import Said, claim, done_before
from fleet.desks import ask
from fleet.drawing.words import day_words
from fleet.models import Aircraft, User
from fleet.refusals import Reasons, Refused

from ._robberies import Parts, Robbed, only_unit, robbery
from .swaps._held import hold_openings_at, hold_swap, refuse_blank, refuse_long
from .swaps.facts import NewSwap, TagFact
from .swaps.movements import record_removal
from .swaps.opening import open_swap, position_of


@dataclass(frozen=True, slots=True)
class Opening:
    """By what a position may stay open: ``document`` with its revision, ``category``, ``found_on`` and
    the last day, what is repeated meanwhile, and what it means for dispatch."""

    document: str
    words: str
    found_on: date
    expires_on: date
    category: str = ""
    repeat_actions: str = ""
    effect: str = ""


_LONGEST = {"document": 80, "words": 200, "category": 8, "repeat_actions": 200, "effect": 200}


@transaction.atomic
def open_item(
    *,
    by: User,
    opening: Opening,
    act_id: UUID,
    at: datetime,
    place_id: int | None = None,
    aircraft_id: int | None = None,
    swap_id: int | None = None,
) -> OpenItem:
    """This will record that a position stays open, or a defect is deferred, on an aircraft.

    Give the place, the swap that left it open, or the aircraft alone. Refuses without a document, a
    last day before the first, a day found that has not come, and a position that is open by
    another item already (``open_already``).
    """
    ask(by, "open_item")
    where = {"place_id": place_id, "aircraft_id": aircraft_id, "swap_id": swap_id}
    rows = OpenItem.objects.filter(act_id=act_id)
    told = {"opening": opening, **where}
    if done := done_before(act_id, "open_item", told, rows, by=by, at=at):
        return done
    _refuse_shape(opening, at)
    swap = hold_swap(swap_id) if swap_id is not None else None
    place = _place(place_id if swap is None else swap.place_id)
    aircraft = _aircraft(place, swap, aircraft_id)
    if place is not None:
        hold_openings_at(place.pk)
        _refuse_second(place)
    said = {name: getattr(opening, name).strip() for name in _LONGEST}
    return OpenItem.objects.create(
        **said,
        act_id=act_id,
        aircraft=aircraft,
        place=place,
        swap=swap,
        found_on=opening.found_on,
        expires_on=opening.expires_on,
        recorded_at=at,
        recorded_by=by,
    )


def _refuse_shape(opening: Opening, at: datetime) -> None:
    refuse_blank(opening.document, "Name the document and its revision that allow it.", "document")
    refuse_blank(opening.words, "Say what is open.", "words")
    for name, most in _LONGEST.items():
        refuse_long(getattr(opening, name), most, name)
    reasons = Reasons()
    if opening.expires_on < opening.found_on:
        words = "Its last day is before the day it was found: correct one of the two."
        reasons.add("an_open_item_lasts_at_least_a_day", words, "expires_on")
    if (opening.found_on - at.date()).days > 1:
        words = f"{day_words(opening.found_on)} has not come yet: give the day it was found."
        reasons.add("in_the_future", words, "found_on")
    reasons.refuse()


def _place(place_id: int | None) -> Place | None:
    if place_id is None:
        return None
    found = Place.objects.select_related(*PLACE_PARTS).filter(pk=place_id).first()
    if found is None:
        raise Refused("unknown_place", "There is no such position: look it up again.", "place")
    return found


def _aircraft(place: Place | None, swap: Swap | None, aircraft_id: int | None) -> Aircraft:
    if place is not None and place.aircraft_position is not None:
        return place.aircraft_position.aircraft
    if swap is not None and swap.aircraft is not None:
        return swap.aircraft
    found = Aircraft.objects.filter(pk=aircraft_id or 0).first()
    if found is None:
        raise Refused("unknown_aircraft", "Name the aircraft that it is open on.", "aircraft")
    return found


def _refuse_second(place: Place) -> None:
    other = OpenItem.objects.filter(place=place, closed=None).first()
    if other is not None:
        words = (
            f"{place_words(place)} is open by {other.document} until {day_words(other.expires_on)}:"
            " close that first."
        )
        raise Refused("open_already", words, "place")


@transaction.atomic
def close_item(
    *, by: User, open_item_id: int, words: str, closed_on: date, act_id: UUID, at: datetime
) -> OpenItemClosed:
    """This will close an open item that no swap closes by itself, saying by what.

    Refuses an unknown item, a day before it was found or still to come, and one that is closed.
    """
    ask(by, "open_item")
    told = {"open_item_id": open_item_id, "words": words, "closed_on": closed_on}
    rows = OpenItemClosed.objects.filter(act_id=act_id)
    if before := done_before(act_id, "close_item", told, rows, by=by, at=at):
        return before
    refuse_blank(words, "Say by what it was closed.", "words")
    refuse_long(words, 200, "words")
    item = OpenItem.objects.select_related("closed").filter(pk=open_item_id).first()
    if item is None:
        raise Refused("unknown_open_item", "There is no such open item: look it up again.")
    if item.place_id is not None:
        hold_openings_at(item.place_id)
    done = OpenItemClosed.objects.filter(open_item=item).first()
    if done is not None:
        said = f"It was closed on {day_words(done.closed_on)}: {done.words}"
        raise Refused("closed_already", said, "open_item")
    if closed_on < item.found_on or (closed_on - at.date()).days > 1:
        sentence = "The day it was closed lies between the day it was found and today."
        raise Refused("wrong_day", sentence, "closed_on")
    return OpenItemClosed.objects.create(
        open_item=item,
        act_id=act_id,
        words=words.strip(),
        closed_on=closed_on,
        recorded_at=at,
        recorded_by=by,
    )


@transaction.atomic
def rob_unit(
    *,
    by: User,
    for_swap_id: int,
    donor_place: int | PlaceAt,
    unit_id: int | None,
    when: When | None,
    opening: Opening,
    act_id: UUID,
    at: datetime,
    minutes: int | None = None,
    cycles: int | None = None,
    log_page: str = "",
) -> Robbed:
    """This will take a unit off another aircraft for an open swap: the donor's removal is a swap of
    its own, its position left open by a document, and the unit lies in the store of the station,
    from where the receiving swap installs it.

    Without ``unit_id`` it is the one recorded there; without ``when`` it comes off now, to the minute.
    Refuses as opening a swap, recording a removal and leaving a position open do, and robbing the
    very position that the unit is for (``robs_itself``).
    """
    ask(by, "open_swap")
    ask(by, "open_item")
    donor, parts = position_of(donor_place), Parts.of(act_id, "donor swap")
    read: Said = {"minutes": minutes, "cycles": cycles, "log_page": log_page}
    told: Said = {
        "for_swap_id": for_swap_id,
        "donor_place": donor.pk,
        "unit_id": unit_id,
        "when": when,
    }
    told |= {"opening": opening, **read}
    if not claim(act_id, "rob_unit", told, by=by, at=at, earlier=parts.earlier):
        return parts.before()
    new = robbery(hold_swap(for_swap_id), donor)
    off = unit_id or only_unit(donor)
    swap = open_swap(by=by, new=new, act_id=parts.swap, at=at)
    moved = record_removal(
        by=by,
        swap_id=swap.pk,
        to=PlaceAt(Place.STORE, station_id=new.station_id),
        # To the minute, as the pages of what came off and went on say it: the order is that of the record.
        when=when or When(at.replace(second=0, microsecond=0)),
        tag=TagFact("serviceable", "removed_good", new.reason),
        act_id=parts.removal,
        at=at,
        unit_id=off,
        **read,
    )
    item = open_item(by=by, opening=opening, act_id=parts.item, at=at, swap_id=swap.pk)
    return Robbed(swap, moved, item)


@transaction.atomic
def remove_without_replacement(
    *,
    by: User,
    new: NewSwap,
    unit_id: int,
    to: PlaceAt,
    when: When,
    tag: TagFact,
    opening: Opening,
    act_id: UUID,
    at: datetime,
    minutes: int | None = None,
    cycles: int | None = None,
    log_page: str = "",
) -> Robbed:
    """This will record a removal that nothing replaces, with the document that allows it and until when.

    Its swap stays to be signed off like any other. Refuses as its three parts do.
    """
    ask(by, "open_swap")
    ask(by, "open_item")
    place, parts = position_of(new.place), Parts.of(act_id, "swap")
    off: Said = {"unit_id": unit_id, "to": to, "when": when, "tag": tag}
    off |= {"minutes": minutes, "cycles": cycles, "log_page": log_page}
    told = {"new": replace(new, place=place.pk), "opening": opening, **off}
    if not claim(act_id, "remove_without_replacement", told, by=by, at=at, earlier=parts.earlier):
        return parts.before()
    alone = NewSwap(place.pk, new.station_id, new.reason, "removal", due_item=new.due_item)
    swap = open_swap(by=by, new=alone, act_id=parts.swap, at=at)
    moved = record_removal(by=by, swap_id=swap.pk, act_id=parts.removal, at=at, **off)
    item = open_item(by=by, opening=opening, act_id=parts.item, at=at, swap_id=swap.pk)
    return Robbed(swap, moved, item)
