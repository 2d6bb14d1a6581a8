"""A position stays open: by which document, until when; and what follows from robbing one."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.db import transaction

from equipment.availability.acts.tag_facts import TagFact
from equipment.common.doors.examples import PLACE_SENT
from equipment.common.said import unit_row
from equipment.common.wording import PLACE_PARTS, place_words
from equipment.keeping.derive import tell_condition
from equipment.keeping.places import place_ids
from equipment.ledger.facts import PlaceAt, When
from equipment.models import OpenItem, OpenItemClosed, Place, Swap, Unit
from equipment.swaps.acts.held import lock_openings_at, lock_swap
from equipment.swaps.acts.movements import record_removal
from equipment.swaps.acts.opening import open_swap, position_of
from fleet.acts.act import Act
from fleet.acts.fields import number, part, text, yes_no
from fleet.acts.repeats import Said, claim, done_before
from fleet.house.desks import ask
from fleet.house.moments import has_come, why_future
from fleet.house.refusals import Reasons, Refused
from fleet.house.texts import refuse_blank, why_not_kept
from fleet.models import Aircraft, User
from fleet.words.said import day_words

from .openings import ItemClosed, ItemOpened, Opening
from .robberies import Parts, Robbed, only_unit, robbery

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
    last day before the first, a day found that has not come, an unknown place, and a position that
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
    said = {name: getattr(opening, name).strip() for name in _LONGEST}
    made = OpenItem.objects.create(
        **said,
        act_id=act_id,
        aircraft=aircraft,
        place=there,
        swap=swap,
        found_on=opening.found_on,
        expires_on=opening.expires_on,
        recorded_at=at,
        recorded_by=by,
    )
    _tell_units_at(there)
    return made


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


@transaction.atomic
def rob_unit(
    *,
    by: User,
    for_swap_id: int,
    donor_place: int | PlaceAt,
    act_id: UUID,
    at: datetime,
    unit_id: int | None = None,
    when: When | None = None,
    opening: Opening | None = None,
    is_confirmed: bool = False,
    minutes: int | None = None,
    cycles: int | None = None,
    log_page: str = "",
) -> Robbed:
    """This will take a unit off another aircraft for an open swap: the donor's removal is a swap of
    its own, its position left open by a document, and the unit lies in the store of the station,
    from where the receiving swap installs it.

    Without ``unit_id`` it is the one recorded there; without ``when`` it comes off now, to the minute.
    Whoever may not say by what the position stays open says none: then the donor is grounded until
    somebody does. Refuses as opening a swap, recording a removal and leaving a position open do, and robbing the
    very position that the unit is for (``robs_itself``).
    """
    ask(by, "open_swap")
    if opening is not None:
        ask(by, "open_item")
    donor, parts = position_of(donor_place), Parts.of(act_id, "donor swap")
    read: Said = {"minutes": minutes, "cycles": cycles, "log_page": log_page}
    told: Said = {"for_swap_id": for_swap_id, "donor_place": donor.pk, "unit_id": unit_id}
    told |= {"when": when, "opening": opening, "is_confirmed": is_confirmed, **read}
    if not claim(act_id, "rob_unit", told, by=by, at=at, earlier=parts.earlier):
        return parts.before()
    new = robbery(lock_swap(for_swap_id), donor)
    off = unit_id or only_unit(donor)
    swap = open_swap(by=by, new=new, act_id=parts.swap, at=at)
    # To the minute, as the pages of what came off and went on say it: the order is that of the record.
    read |= {"when": when or When(at.replace(second=0, microsecond=0)), "unit_id": off}
    read |= {"is_confirmed": is_confirmed, "to": PlaceAt(Place.STORE, station_id=new.station_id)}
    good = TagFact("serviceable", "removed_good", new.reason)
    moved = record_removal(by=by, swap_id=swap.pk, tag=good, act_id=parts.removal, at=at, **read)
    item = None
    if opening is not None:
        item = open_item(by=by, opening=opening, act_id=parts.item, at=at, swap_id=swap.pk)
    return Robbed(swap, moved, item)


@dataclass(frozen=True, slots=True)
class Robbery:
    """A unit taken off another aircraft for a swap, and by what its position there stays open."""

    for_swap_id: int = number("The swap", name="swap")
    donor_place: int | PlaceAt = part("The position that it is taken from", PlaceAt, name="place")
    opening: Opening | None = part(
        "By what its position there stays open",
        Opening,
        default=None,
        help="By whoever may open an item; without one the donor is not releasable.",
    )
    unit_id: int | None = unit_row("The unit", default=None, help="None: the one recorded there.")
    when: When | None = None
    log_page: str = text("Log page of that aircraft", 40, default="")
    is_confirmed: bool = yes_no(
        "It is really so: record it as it is", help="Though it was asked about (`confirm_first`)."
    )


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
ROB_UNIT = Act(
    name="rob_unit",
    who="open_swap",
    does=rob_unit,
    said=Robbery,
    tag="Swaps",
    summary="Take a unit from another aircraft",
    description="Takes a unit off another position for an open swap: the donor's removal is a swap of "
    "its own, its position is left open by a document, and the unit lies in the station's store. All of "
    "it or nothing.",
    address="swaps/<int:for_swap_id>/robbery",
    in_address=("for_swap_id",),
    example={
        "act_id": "0b8c0d1e-7c58-4d0c-8f3c-0f2f6d1f6c0a",
        "place": PLACE_SENT,
        "happened_at": "2024-03-03T14:05:00Z",
        "opening": {
            "document": "MEL 25-62-01 rev 12",
            "words": "Door 1 left without its slide: door blocked.",
            "found_on": "2024-03-03",
            "expires_on": "2024-03-13",
        },
    },
)
