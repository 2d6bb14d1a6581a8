"""A unit that was set aside is handed over the counter."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from equipment.availability.acts.units import lock_unit, refuse_not_at
from equipment.availability.acts.using import why_not_use_unit
from equipment.common.wording import PLACE_PARTS
from equipment.models import Place, Reservation
from equipment.segregation.facts import Asked, uses_of
from equipment.segregation.rule import asks_decision
from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.house.texts import refuse_long
from fleet.models import User
from fleet.words.said import day_words, moment_words


@transaction.atomic
def issue_unit(*, by: User, reservation_id: int, at: datetime, decision: str = "") -> Reservation:
    """This will hand a reserved unit over, who and when; a second tap of the same person changes nothing.

    Refuses a reservation that has ended or that another has issued (saying who), a unit that is not
    in a store, and every reason of segregation as of now: it may have failed since it was set aside.
    One that is not complete, or of which a limit is unknown, is handed over by a ``decision`` only: who
    decided it, and why (``unit_incomplete``, ``limit_unknown``).
    """
    ask(by, "issue_unit")
    named = Reservation.objects.filter(pk=reservation_id).values_list("unit", flat=True).first()
    if named is None:
        raise Refused(
            "unknown_reservation", "Nothing is set aside under this number.", "reservation"
        )
    unit = lock_unit(named)
    parts = (f"place__{part}" for part in PLACE_PARTS)
    rows = Reservation.objects.select_for_update(of=("self",)).select_related(
        "issued_by", "ended_by", *parts
    )
    held = rows.get(pk=reservation_id)
    if _refuse_done(held, by):
        return held
    if reasons := why_not_use_unit(unit_id=unit.pk, place=held.place, need_on=held.need_on, at=at):
        raise Refused.all_of(reasons)
    refuse_not_at(unit, "unit_not_in_store", Place.STORE)
    asked = Asked(max(held.need_on, at.date()), at, held.place_id)
    open_questions = asks_decision(uses_of([unit.pk], asked)[unit.pk])
    decided = refuse_long(decision, "decision", 200)
    if open_questions and not decided:
        raise Refused.all_of(open_questions)
    held.issued_at, held.issued_by = max(at, held.reserved_at), by
    held.issue_decision = decided if open_questions else ""
    held.save(update_fields=["issued_at", "issued_by", "issue_decision"])
    return held


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
