"""A unit that was set aside is handed over the counter: to whom, for which job; or is brought back unused."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID, uuid5

from django.db import transaction

from equipment.availability.acts.units import lock_unit, refuse_not_at
from equipment.availability.acts.using import why_not_use_unit
from equipment.common.wording import PLACE_PARTS
from equipment.keeping.record import record_asked
from equipment.ledger.facts import MovementFact, PlaceAt, When
from equipment.models import Place, Reservation
from equipment.segregation.facts import Asked, uses_of
from equipment.segregation.rule import asks_decision
from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.answers import shown
from fleet.acts.fields import number, text, yes_no
from fleet.acts.repeats import claim
from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.house.texts import refuse_blank, refuse_long
from fleet.models import User
from fleet.words.said import day_words, moment_words

from .bins import refuse_bin


@transaction.atomic
def issue_unit(
    *,
    by: User,
    reservation_id: int,
    at: datetime,
    to: str = "",
    job: str = "",
    decision: str = "",
) -> Reservation:
    """This will hand a reserved unit over, who ``to`` whom and when, for which ``job``; a second tap of the same
    person changes nothing. From then on it is *issued*, until it is fitted or brought back.

    Refuses one that is handed to nobody, a reservation that has ended or that another has issued (saying
    who), a unit that is not in a store, and every reason of segregation as of now: it may have failed since it was set aside.
    One that is not complete, or of which a limit is unknown, is handed over by a ``decision`` only: who
    decided it, and why (``unit_incomplete``, ``limit_unknown``).
    """
    ask(by, "issue_unit")
    named = Reservation.objects.filter(pk=reservation_id).values_list("unit", flat=True).first()
    if named is None:
        words = "Nothing is set aside under this number."
        raise Refused("unknown_reservation", words, "reservation")
    unit = lock_unit(named)
    held = _held(reservation_id)
    if _refuse_done(held, by):
        return held
    if reasons := why_not_use_unit(unit_id=unit.pk, place=held.place, need_on=held.need_on, at=at):
        raise Refused.all_of(reasons)
    refuse_not_at(unit, "unit_not_in_store", Place.STORE)
    facts = {
        "issued_to": _named(refuse_blank(to, "Say to whom it is handed over.", "to", 120)),
        "issued_job": refuse_long(job, "job", 80),
        "issue_decision": _decided(held, unit.pk, decision, at),
        "issued_at": max(at, held.reserved_at),
        "issued_by": by,
    }
    for name, value in facts.items():
        setattr(held, name, value)
    held.save(update_fields=list(facts))
    return held


def _named(to: str) -> str:
    """The person's name, where a badge was scanned: it carries the name by which the person signs in."""
    person = User.objects.filter(username__iexact=to, is_active=True).first()
    return person.shown_name[:120] if person else to


def _held(reservation_id: int) -> Reservation:
    parts = (f"place__{part}" for part in PLACE_PARTS)
    rows = Reservation.objects.select_for_update(of=("self",))
    return rows.select_related("issued_by", "ended_by", *parts).get(pk=reservation_id)


def _decided(held: Reservation, unit_id: int, decision: str, at: datetime) -> str:
    """Who decided to issue what is not complete or unknown; refuses where that is open and nobody did."""
    asked = Asked(max(held.need_on, at.date()), at, held.place_id)
    open_questions = asks_decision(uses_of([unit_id], asked)[unit_id])
    decided = refuse_long(decision, "decision", 200)
    if open_questions and not decided:
        raise Refused.all_of(open_questions)
    return decided if open_questions else ""


def _refuse_done(held: Reservation, by: User) -> bool:
    """Whether this person has issued it already; refuses where it ended, or another has."""
    if held.ended_at is not None:
        who = held.ended_by.shown_name if held.ended_by else "Somebody"
        words = f"{who} has ended this on {day_words(held.ended_at.date())} ({held.get_ended_how_display()})."
        raise Refused("reservation_ended", words, "reservation")
    if held.issued_at is None:
        return False
    if held.issued_by_id != by.pk and held.issued_by is not None:
        words = f"{held.issued_by.shown_name} has issued it on {moment_words(held.issued_at)}."
        raise Refused("issued_already", words, "reservation")
    return True


@transaction.atomic
def bring_back(
    *,
    by: User,
    reservation_id: int,
    bin_name: str,
    is_doubtful: bool,
    words: str,
    act_id: UUID,
    at: datetime,
) -> Reservation:
    """This will end what was issued and not fitted: the unit is in its store again, in a bin if one is said, or
    in quarantine if it was opened, damaged or is in doubt.

    Refuses what was not issued, what has ended (by whom, how), what is fitted, and a doubt without words.
    """
    ask(by, "issue_unit")
    told = {"reservation_id": reservation_id, "bin": bin_name}
    told |= {"is_doubtful": is_doubtful, "words": words}
    if not claim(act_id, "bring_back", told, by=by, at=at):
        return Reservation.objects.get(pk=reservation_id)
    held = _issued(reservation_id)
    unit = lock_unit(held.unit_id)
    place = refuse_not_at(unit, "unit_not_in_store", Place.STORE)
    assert place.station is not None
    name = refuse_long(bin_name, "bin", 80)
    if not is_doubtful:
        refuse_bin(unit, place.station, name)
    why = refuse_long(words, "words", 200)
    if is_doubtful:
        why = refuse_blank(words, "Say what is the matter with it.", "words", 200)
    held.ended_at, held.ended_how, held.ended_by = max(at, held.issued_at or at), "returned", by
    held.save(update_fields=["ended_at", "ended_how", "ended_by"])
    if is_doubtful or name:
        sort = Place.QUARANTINE if is_doubtful else Place.STORE
        to = PlaceAt(sort, station_id=place.station.pk, name="" if is_doubtful else name)
        move = "quarantined" if is_doubtful else "stowed"
        when = When(at, "instant", place.station.time_zone)
        row = MovementFact(unit.pk, move, to, when, reason=why)
        record_asked(by=by, rows=[row], act_id=uuid5(act_id, "moved"), at=at, is_strict=True)
    return held


def _issued(reservation_id: int) -> Reservation:
    """What was issued, held so that of two who bring it back one is told of the other."""
    unit = Reservation.objects.filter(pk=reservation_id).values_list("unit", flat=True).first()
    if unit is None:
        raise Refused("unknown_reservation", "Nothing was issued under this number.", "reservation")
    lock_unit(unit)
    held = _held(reservation_id)
    if held.ended_at is not None:
        who = held.ended_by.shown_name if held.ended_by else "Somebody"
        words = f"{who} has ended this on {day_words(held.ended_at.date())} ({held.get_ended_how_display()})."
        raise Refused("reservation_ended", words, "reservation")
    if held.issued_at is None:
        words = "It was never handed over: free it if it is not needed."
        raise Refused("not_issued", words, "reservation")
    return held


@dataclass(frozen=True, slots=True)
class BroughtBack:
    """What was issued comes back unused."""

    reservation_id: int = number("What was issued", least=1, name="reservation")
    bin_name: str = text("Into bin", 80, default="", name="bin")
    is_doubtful: bool = yes_no("It was opened or damaged, or is in doubt: into quarantine")
    words: str = text("In words", 200, default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class BroughtBackShown:
    reservation: int = shown("pk")
    unit: int = shown("unit_id")
    ended_at: datetime
    ended_how: str


# --- declared ---------------------------------------------------------------------------------

BRING_BACK = Act(
    name="bring_back",
    does=bring_back,
    said=BroughtBack,
    who="issue_unit",
    tag="Stores",
    summary="Bring back what was issued",
    description="A unit that was handed over and not fitted is in its store again, or in quarantine if in doubt.",
    address="stores/bring-backs",
    example={"act_id": EXAMPLE_ID, "reservation": 53, "bin": "R1-04", "words": ""},
    shows=BroughtBackShown,
    answer={
        "reservation": 53,
        "unit": 812,
        "ended_at": "2024-03-03T07:30:00Z",
        "ended_how": "returned",
    },
)
