"""Pieces of a lot: used up for a job, or two lots of one origin joined again. No piece is lost from the records."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID, uuid5

from django.db import transaction

from equipment.availability.acts.units import lock_unit, refuse_not_at, when_on
from equipment.common.scanned import unit_meant
from equipment.common.wording import place_words, unit_words
from equipment.keeping.locks import lock
from equipment.keeping.record import record_asked
from equipment.ledger.facts import MovementFact, PlaceAt, When
from equipment.models import Certificate, Hold, Movement, Place, Reservation, Stay, Unit, UnitTag
from equipment.segregation.facts import Asked, uses_of
from equipment.segregation.rule import why_not_use
from equipment.units.acts.lots import SplitOff, split_off
from equipment.units.ports import ends_first
from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.answers import shown
from fleet.acts.fields import day, number, row, text
from fleet.acts.repeats import claim
from fleet.house.desks import ask
from fleet.house.moments import why_future
from fleet.house.refusals import Refused
from fleet.house.texts import refuse_blank, refuse_long
from fleet.models import User
from fleet.words.said import count_words

MOST = 100_000
#: Where pieces are that were used, and those of a lot that became part of another.
USED_UP, JOINED = "used up", "joined"


@transaction.atomic
def use_pieces(*, by: User, used: PiecesUsed, act_id: UUID, at: datetime) -> Movement:
    """This will record that so many pieces of a lot in a store were used up: for which job, by whom. They stay on record
    as a lot of their own that is gone.

    Refuses what is no lot or in no store, more than it has, a day to come, no job, and every reason of segregation.
    """
    ask(by, "issue_unit")
    moved = uuid5(act_id, "moved")
    if not claim(act_id, "use_pieces", {"used": used}, by=by, at=at):
        return Movement.objects.get(act_id=moved, sort="used")
    lot = lock_unit(used.lot_id)
    place = refuse_not_at(lot, "unit_not_in_store", Place.STORE)
    _refuse_no_lot(lot)
    when = _when(place, used.used_on, at)
    job = refuse_blank(used.job, "Say for which job they were used.", "job", 80)
    who = refuse_long(used.who, "who", 100)
    if reasons := why_not_use(uses_of([lot.pk], Asked(used.used_on, at))[lot.pk]):
        raise Refused.all_of(reasons)
    there = _pieces_of(lot, when)
    if not 1 <= used.quantity <= there:
        words = f"{unit_words(lot)} has {count_words(there)}: give how many were used, from 1 to {count_words(there)}."
        raise Refused("quantity_not_there", words, "quantity")
    off = SplitOff(lot.pk, used.quantity, when, document=job)
    gone = lot.pk
    if used.quantity < there:
        gone = split_off(by=by, off=off, act_id=uuid5(act_id, "split"), at=at)[0].unit_id
    fact = MovementFact(
        gone,
        "used",
        PlaceAt(Place.GONE, name=USED_UP),
        when,
        day_order=1,
        document=job,
        reason=f"used by {who}" if who else "",
        quantity=used.quantity,
    )
    (done,) = record_asked(by=by, rows=[fact], act_id=moved, at=at, is_strict=True)
    return Movement.objects.get(pk=done.movement_id)


def _when(place: Place, on: date, at: datetime) -> When:
    assert place.station is not None
    when = when_on(on, place.station.time_zone, at)
    if reasons := why_future(when.here, at, "used_on"):
        raise Refused.all_of(reasons)
    return when


def _refuse_no_lot(unit: Unit) -> None:
    if not unit.part_number.is_lot:
        words = f"{unit_words(unit)} is one unit, not a lot: issue it, or scrap it."
        raise Refused("not_a_lot", words, "lot")


def _pieces_of(lot: Unit, when: When) -> int:
    """How many pieces the lot had then; none where nothing was recorded of it."""
    stays = Stay.objects.filter(unit=lot, known__upper_inf=True, valid__contains=when.at)
    return stays.values_list("quantity", flat=True).first() or 0


@transaction.atomic
def join_lots(*, by: User, joined: LotsJoined, act_id: UUID, at: datetime) -> Movement:
    """This will make a lot part of another of the same origin again: what was split off and is not needed apart.

    Refuses lots of different origin, part number, standard, place, papers, tag, hold or next date (each says which), one
    that is set aside, and a lot joined to itself.
    """
    ask(by, "receive_unit")
    moved = uuid5(act_id, "moved")
    if not claim(act_id, "join_lots", {"joined": joined}, by=by, at=at):
        return Movement.objects.exclude(unit=joined.lot_id).get(act_id=moved)
    needed = "Scan the lot that it becomes part of."
    other = unit_meant(joined.into, at, field="into", needed=needed, word="lot")
    lock(places=(), units=[joined.lot_id, other.pk])
    lot, into = lock_unit(joined.lot_id), lock_unit(other.pk)
    place = refuse_not_at(lot, "unit_not_in_store", Place.STORE, Place.QUARANTINE)
    _refuse_no_lot(lot)
    _refuse_apart(lot, into, at)
    zone = place.station.time_zone if place.station else "UTC"
    when = When(at, "instant", zone)
    whole = _pieces_of(lot, when) + _pieces_of(into, when)
    rows = [
        MovementFact(
            into.pk, "joined", place.pk, when, reason=f"with {unit_words(lot)}", quantity=whole
        ),
        MovementFact(
            lot.pk,
            "joined",
            PlaceAt(Place.GONE, name=JOINED),
            when,
            reason=f"to {unit_words(into)}",
        ),
    ]
    done = record_asked(by=by, rows=rows, act_id=moved, at=at, is_strict=True)
    return Movement.objects.get(pk=done[0].movement_id)


def _refuse_apart(lot: Unit, into: Unit, at: datetime) -> None:
    """What is joined must be one in everything that anybody may ask of a piece."""
    if lot.pk == into.pk:
        raise Refused("same_lot", "Name another lot: this is the one itself.", "into")
    if _origin(lot) != _origin(into):
        words = f"{unit_words(lot)} and {unit_words(into)} are of different lots: only what was split from one is joined."
        raise Refused("lots_differ", words, "into")
    for what, is_same in (
        ("part number or standard", _known_as(lot) == _known_as(into)),
        (
            f"place ({place_words(lot.place)}, {place_words(into.place)})",
            lot.place_id == into.place_id,
        ),
        ("papers", _papers(lot) == _papers(into)),
        ("tag or hold", _state(lot) == _state(into)),
        ("next date", ends_first(lot.pk, at.date()) == ends_first(into.pk, at.date())),
    ):
        if not is_same:
            words = f"{unit_words(lot)} and {unit_words(into)} differ in {what}: they stay apart."
            raise Refused("lots_differ", words, "into")
    held = Reservation.objects.filter(unit__in=[lot, into], ended_at=None).select_related("unit")
    if (one := held.first()) is not None:
        words = f"{unit_words(one.unit)} is set aside: free it first."
        raise Refused("reserved_elsewhere", words, "into" if one.unit_id == into.pk else "lot")


def _origin(lot: Unit) -> int:
    while lot.split_from is not None:
        lot = lot.split_from
    return lot.pk


def _known_as(lot: Unit) -> tuple[int, int | None]:
    return lot.part_number_id, lot.standard_id


def _papers(lot: Unit) -> set[tuple[str, str]]:
    return set(Certificate.objects.filter(unit=lot).values_list("form", "tracking_number"))


def _state(lot: Unit) -> tuple[str, set[tuple[str, str]]]:
    tag = UnitTag.objects.filter(unit=lot).standing().order_by("-tagged_at", "-pk").first()
    holds = Hold.objects.filter(unit=lot, ended=None).values_list("why", "words")
    return tag.sort if tag else "", set(holds)


@dataclass(frozen=True, slots=True)
class PiecesUsed:
    """So many pieces of a lot were used up."""

    lot_id: int = row("Lot", Unit, "lot", help="A unit's id.")
    quantity: int = number("How many pieces", least=1, most=MOST)
    job: str = text("For which job", 80, hint="A work order, or what they were used for.")
    used_on: date = day("Used on")
    who: str = text("By whom", 100, default="")


@dataclass(frozen=True, slots=True)
class LotsJoined:
    """A lot becomes part of another again."""

    lot_id: int = row("Lot", Unit, "lot", help="A unit's id: what becomes part of the other.")
    into: str = text("The lot that it becomes part of: scan it, or part and serial number", 200)


@dataclass(frozen=True, slots=True, kw_only=True)
class PiecesShown:
    unit: int = shown("unit_id", help="The lot that they are on record as.")
    movement: int = shown("pk")
    quantity: int


# --- declared ---------------------------------------------------------------------------------

USE_PIECES = Act(
    name="use_pieces",
    does=use_pieces,
    said=PiecesUsed,
    as_="used",
    who="issue_unit",
    tag="Stores",
    summary="Use up pieces of a lot",
    description="So many pieces of a lot in a store were used for a job; they stay on record as used up.",
    address="lot-uses",
    example={
        "act_id": EXAMPLE_ID,
        "lot": 640,
        "quantity": 2,
        "job": "WO-2240",
        "used_on": "2024-03-03",
        "who": "B. Laan",
    },
    shows=PiecesShown,
    answer={"unit": 642, "movement": 9110, "quantity": 2},
)
JOIN_LOTS = Act(
    name="join_lots",
    does=join_lots,
    said=LotsJoined,
    as_="joined",
    who="receive_unit",
    tag="Stores",
    summary="Join lots",
    description="A lot becomes part of another that is of the same origin, at the same place and alike in papers, tag, "
    "holds and next date.",
    address="lot-joins",
    example={"act_id": EXAMPLE_ID, "lot": 641, "into": "VB-20 BATCH-17"},
    shows=PiecesShown,
    answer={"unit": 640, "movement": 9111, "quantity": 22},
)
