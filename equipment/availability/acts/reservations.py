"""A unit is set aside for a position, and freed again."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.db import transaction

from equipment.common.clashes import told_by_name
from equipment.common.said import UNIT_ID, unit_row
from equipment.common.wording import PLACE_PARTS, place_words, unit_words
from equipment.keeping.locks import lock
from equipment.keeping.places import place_ids
from equipment.ledger.facts import PlaceAt
from equipment.models import Place, Reservation, Unit
from fleet.acts.act import Act
from fleet.acts.fields import day, part, text
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.house.texts import refuse_long
from fleet.models import User
from fleet.words.said import day_words

from .units import lock_unit, refuse_not_at
from .using import why_not_use_unit

MOST_WORDS = 200


def reserve_unit(
    *,
    by: User,
    unit_id: int,
    place: int | PlaceAt,
    need_on: date,
    act_id: UUID,
    at: datetime,
    words: str = "",
) -> Reservation:
    """This will set a unit in a store aside for a position and a day.

    Refuses with every reason of segregation (``unit_quarantined``, ``unit_unserviceable``,
    ``unit_expired``, ``unit_on_hold``, ``unit_of_another_owner``, ``reserved_elsewhere``, by whom,
    ``part_does_not_fit``, ``no_certificate``), a unit that is in no store, a day that is past, and a
    need that another unit is set aside for (``need_is_met``).
    """
    ask(by, "reserve_unit")
    kept = refuse_long(words, "words", MOST_WORDS)
    with told_by_name(), transaction.atomic():
        there = _place(place)
        said = {"unit_id": unit_id, "place": there.pk, "need_on": need_on, "words": words}
        rows = Reservation.objects.filter(act_id=act_id)
        if done := done_before(act_id, "reserve_unit", said, rows, by=by, at=at):
            return done
        # The position before the unit, as every act of the ledger takes them.
        lock(places=[there.pk], units=())
        unit = lock_unit(unit_id)
        _refuse_use(unit, there, need_on, at)
        return Reservation.objects.create(
            act_id=act_id,
            unit=unit,
            place=there,
            need_on=need_on,
            words=kept,
            reserved_at=at,
            reserved_by=by,
        )


def _refuse_use(unit: Unit, there: Place, need_on: date, at: datetime) -> None:
    _refuse_past(need_on, at)
    if reasons := why_not_use_unit(unit_id=unit.pk, place=there, need_on=need_on, at=at):
        raise Refused.all_of(reasons)
    refuse_not_at(unit, "unit_not_in_store", Place.STORE)
    _refuse_twice(unit.pk, there, need_on)


def _place(at: int | PlaceAt) -> Place:
    (key,) = place_ids([at])
    found = Place.objects.select_related(*PLACE_PARTS).filter(pk=key or 0).first()
    if found is None or found.sort not in (Place.AIRCRAFT, Place.INSIDE):
        words = (
            "Name a position of an aircraft, or one inside a unit: a unit is set aside for that."
        )
        raise Refused("unknown_place", words, "place")
    return found


def _refuse_past(need_on: date, at: datetime) -> None:
    # Somewhere on earth it is still yesterday.
    if (at.date() - need_on).days > 1:
        raise Refused(
            "need_is_past", f"{day_words(need_on)} is past: give the day of the need.", "need_on"
        )


def _refuse_twice(unit_id: int, place: Place, need_on: date) -> None:
    """One need, one unit; a position for several has as many as it holds. The unit's own one stands."""
    rows = Reservation.objects.filter(ended_at=None).select_related(
        "unit__part_number", "reserved_by"
    )
    own = rows.filter(unit=unit_id).first()
    if own is not None:
        words = (
            f"{own.reserved_by.shown_name} has set it aside for {place_words(own.place)} already."
        )
        raise Refused("reserved_elsewhere", words, "unit")
    others = list(rows.filter(place=place, need_on=need_on).order_by("pk"))
    if len(others) < (place.capacity or 1):
        return
    first = others[0]
    words = (
        f"{first.reserved_by.shown_name} has set {unit_words(first.unit)} aside for"
        f" {place_words(place)} on {day_words(need_on)}: free that one first."
    )
    raise Refused("need_is_met", words, "place")


@transaction.atomic
def free_reservation(*, by: User, reservation_id: int, at: datetime) -> Reservation:
    """This will end a reservation that is not needed any more; one that has ended stays as it did.

    Refuses an unknown one.
    """
    ask(by, "reserve_unit")
    unit_id = Reservation.objects.filter(pk=reservation_id).values_list("unit", flat=True).first()
    if unit_id is None:
        words = "Nothing is set aside under this number: look at the list again."
        raise Refused("unknown_reservation", words, "reservation")
    lock_unit(unit_id)
    found = Reservation.objects.select_for_update().get(pk=reservation_id)
    if found.ended_at is None:
        found.ended_at, found.ended_how, found.ended_by = max(at, found.reserved_at), "freed", by
        found.save(update_fields=["ended_at", "ended_how", "ended_by"])
    return found


@dataclass(frozen=True, slots=True)
class SetAside:
    """A unit to be set aside for a position and a day."""

    unit_id: int = unit_row(help=UNIT_ID)
    place: int | PlaceAt = part("Aircraft and position", PlaceAt)
    need_on: date = day("Needed on", help="The day of the need.")
    words: str = text("For what, in words", MOST_WORDS, default="")


# --- declared ---------------------------------------------------------------------------------

RESERVE_UNIT = Act(
    name="reserve_unit",
    does=reserve_unit,
    said=SetAside,
    tag="Beside a swap",
    summary="Set a unit aside",
    description="Sets a unit in a store aside for a position and a day. Refused with every reason: "
    "reserved elsewhere (by whom), in quarantine, unserviceable, of a part that does not fit.",
    address="reservations",
    example={
        "act_id": "0b8c0d1e-7c58-4d0c-8f3c-0f2f6d1f6c04",
        "unit": 512,
        "place": {"sort": "aircraft", "aircraft": "Q-AVEN", "position": "D1L-SLIDE"},
        "need_on": "2098-03-03",
        "words": "For the spring check.",
    },
)
