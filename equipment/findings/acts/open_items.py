"""A position stays open: by which document, until when; and what follows from robbing one."""

from __future__ import annotations

from dataclasses import fields
from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.db import transaction

from equipment.common.doors.examples import PLACE_SENT
from equipment.common.wording import PLACE_PARTS, place_words
from equipment.judging.deferral import why_not_repeated, why_not_until
from equipment.keeping.derive import tell_condition
from equipment.keeping.places import place_ids
from equipment.ledger.facts import PlaceAt
from equipment.models import OpenItem, OpenItemClosed, Place, Swap, Unit
from equipment.swaps.acts.held import lock_openings_at, lock_swap
from fleet.acts.act import Act
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.moments import has_come, why_future
from fleet.house.refusals import Reasons, Refused
from fleet.house.texts import refuse_blank, why_not_kept
from fleet.models import Aircraft, User
from fleet.words.said import day_words

from .openings import ItemClosed, ItemOpened, Opening

_NEEDED = {
    "document": "Name the document and its revision that allow it.",
    "words": "Say what is open.",
}
_LONGEST = {"document": 80, "words": 200, "category": 8, "repeat_actions": 200, "effect": 200}


@transaction.atomic
def open_item(
    *,
    by: User,
    opening: Opening,
    act_id: UUID,
    at: datetime,
    place: int | PlaceAt | None = None,
    aircraft_id: int | None = None,
    swap_id: int | None = None,
) -> OpenItem:
    """This will record that a position stays open, or a defect is deferred, on an aircraft.

    Give the place, the swap that left it open, or the aircraft alone. Refuses without a document, a
    last day before the first or beyond what its category allows (``beyond_category``), a day found that has not come, an unknown place, and a position that
    is open by another item already (``open_already``).
    """
    ask(by, "open_item")
    where = {"place": place, "aircraft_id": aircraft_id, "swap_id": swap_id}
    rows = OpenItem.objects.filter(act_id=act_id)
    told = {"opening": opening, **where}
    if done := done_before(act_id, "open_item", told, rows, by=by, at=at):
        return done
    _refuse_shape(opening, at)
    swap = lock_swap(swap_id) if swap_id is not None else None
    there = _locked_place(place if swap is None else swap.place_id)
    aircraft = _aircraft(there, swap, aircraft_id)
    made = OpenItem.objects.create(
        **_as_kept(opening),
        act_id=act_id,
        aircraft=aircraft,
        place=there,
        swap=swap,
        recorded_at=at,
        recorded_by=by,
    )
    _tell_units_at(there)
    return made


def _as_kept(opening: Opening) -> dict[str, Any]:
    """What was said, texts without the blanks around them."""
    texts = {name: getattr(opening, name).strip() for name in _LONGEST}
    return {each.name: getattr(opening, each.name) for each in fields(opening)} | texts


def _tell_units_at(place: Place | None) -> None:
    """What may stay as it is, and so grounds nothing, is told by the open items of its position."""
    if place is not None:
        tell_condition(Unit.objects.filter(place=place).values_list("pk", flat=True))


def _locked_place(at: int | PlaceAt | None) -> Place | None:
    """The position, held; this will refuse one that is open by another item."""
    there = _place(at)
    if there is not None:
        lock_openings_at(there.pk)
        _refuse_second(there)
    return there


def _refuse_shape(opening: Opening, at: datetime) -> None:
    reasons = Reasons()
    for name, most in _LONGEST.items():
        text = getattr(opening, name).strip()
        reasons.found += why_not_kept(text, name, most, _NEEDED.get(name, ""))
    if opening.expires_on < opening.found_on:
        words = "Its last day is before the day it was found: correct one of the two."
        reasons.add("an_open_item_lasts_at_least_a_day", words, "expires_on")
    else:
        reasons.found += why_not_until(opening.category, opening.found_on, opening.expires_on)
    every = (opening.repeat_days, opening.repeat_hours)
    reasons.found += why_not_repeated(opening.repeat_actions, *every)
    advice = "give the day it was found."
    reasons.found += why_future(opening.found_on, at, "found_on", advice)
    reasons.refuse()


def _place(at: int | PlaceAt | None) -> Place | None:
    if at is None:
        return None
    (key,) = place_ids([at])
    found = Place.objects.select_related(*PLACE_PARTS).filter(pk=key or 0).first()
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
    said = refuse_blank(words, "Say by what it was closed.", "words", 200)
    item = OpenItem.objects.select_related("closed", "place").filter(pk=open_item_id).first()
    if item is None:
        raise Refused("unknown_open_item", "There is no such open item: look it up again.")
    if item.place_id is not None:
        lock_openings_at(item.place_id)
    done = OpenItemClosed.objects.filter(open_item=item).first()
    if done is not None:
        told_of = f"It was closed on {day_words(done.closed_on)}: {done.words}"
        raise Refused("closed_already", told_of, "open_item")
    if closed_on < item.found_on or not has_come(closed_on, at):
        sentence = "The day it was closed lies between the day it was found and today."
        raise Refused("wrong_day", sentence, "closed_on")
    made = OpenItemClosed.objects.create(
        open_item=item,
        act_id=act_id,
        words=said,
        closed_on=closed_on,
        recorded_at=at,
        recorded_by=by,
    )
    _tell_units_at(item.place)
    return made


# --- declared ---------------------------------------------------------------------------------

OPEN_ITEM = Act(
    name="open_item",
    does=open_item,
    said=ItemOpened,
    tag="Open items",
    summary="Leave a position open",
    description="Records a position left open, or a defect deferred: by which document and until "
    "which last day. An item past that day stands in the way of a release.",
    address="open-items",
    example={
        "act_id": "0b8c0d1e-7c58-4d0c-8f3c-0f2f6d1f6c05",
        "place": PLACE_SENT,
        "document": "MEL 25-62-01 rev 12",
        "words": "Door 1 left without its slide: door blocked.",
        "category": "C",
        "found_on": "2024-03-03",
        "expires_on": "2024-03-13",
        "effect": "Rows 1 to 6 left blocked.",
    },
)
CLOSE_ITEM = Act(
    name="close_open_item",
    claimed="close_item",
    who="open_item",
    does=close_item,
    said=ItemClosed,
    tag="Open items",
    summary="Close an open item",
    description="Closes an open item that no swap closes by itself, saying by which work.",
    address="open-items/<int:open_item_id>/closing",
    in_address=("open_item_id",),
    example={
        "act_id": "0b8c0d1e-7c58-4d0c-8f3c-0f2f6d1f6c06",
        "words": "Fitted again, swap 88.",
        "closed_on": "2024-03-09",
    },
)
