"""A unit of ours is lent to another party until a day, and comes back."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID, uuid5

from django.db import transaction

from equipment.availability.acts.units import lock_unit, refuse_not_at, when_on
from equipment.availability.acts.using import why_not_use_unit
from equipment.common.money import money
from equipment.common.said import station_coded, unit_row
from equipment.common.wording import unit_words
from equipment.keeping.record import record_asked
from equipment.ledger.facts import MovementFact, PlaceAt
from equipment.models import Loan, LoanEnd, Place, Title, Unit
from equipment.models.owing import PER
from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.answers import shown
from fleet.acts.fields import choice, day, number, text
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.moments import why_future
from fleet.house.refusals import Refused
from fleet.house.texts import refuse_blank, refuse_long
from fleet.models import Station, User
from fleet.words.said import day_words

#: What is not ours to lend: it belongs to another until it goes back.
OF_ANOTHER = ("leased", "pool_loan", "consigned")


@transaction.atomic
def lend_unit(*, by: User, loan: NewLoan, act_id: UUID, at: datetime) -> Loan:
    """This will lend a unit out of a store to another party, until a day, under an agreement.

    Refuses what is in no store, every reason of segregation against its use (what is not serviceable here is not lent
    as if it were), what belongs to another, a day to come, and a return before the lending.
    """
    ask(by, "lend_unit")
    rows = Loan.objects.filter(act_id=act_id)
    if done := done_before(act_id, "lend_unit", {"loan": loan}, rows, by=by, at=at):
        return done
    unit = lock_unit(loan.unit_id)
    station = refuse_not_at(unit, "unit_not_in_store", Place.STORE).station
    assert station is not None
    facts = _facts(loan)
    _refuse_owned(unit, loan.lent_on)
    if reasons := why_not_use_unit(unit_id=unit.pk, place=None, need_on=loan.lent_on, at=at):
        raise Refused.all_of(reasons)
    move = MovementFact(
        unit.pk,
        "lent",
        PlaceAt(Place.PARTY, name=facts["party"]),
        _when(loan.lent_on, "lent_on", station, at),
        document=facts["agreement"],
        reason=facts["words"],
    )
    (moved,) = record_asked(by=by, rows=[move], act_id=uuid5(act_id, "lent"), at=at, is_strict=True)
    return Loan.objects.create(
        act_id=act_id,
        unit=unit,
        movement_id=moved.movement_id,
        station=station,
        lent_on=loan.lent_on,
        return_by=loan.return_by,
        recorded_at=at,
        recorded_by=by,
        **facts,
    )


def _facts(loan: NewLoan) -> dict[str, Any]:
    if loan.return_by < loan.lent_on:
        words = f"It is lent on {day_words(loan.lent_on)}: it cannot come back before."
        raise Refused("back_before_lending", words, "return_by")
    amount, currency = money(loan.charge_amount, loan.currency, field="charge_amount")
    return {
        "party": refuse_blank(loan.party, "Say to whom it is lent.", "party", 80),
        "agreement": refuse_blank(loan.agreement, "Name the agreement.", "agreement", 80),
        "charge_amount": amount,
        "charge_per": loan.charge_per or "once" if amount is not None else "",
        "currency": currency,
        "words": refuse_long(loan.words, "words", 200),
    }


def _refuse_owned(unit: Unit, on: date) -> None:
    title = (
        Title.objects.filter(unit__in=Unit.objects.same_as([unit]), from_on__lte=on)
        .order_by("-from_on", "-pk")
        .first()
    )
    if title is not None and title.sort in OF_ANOTHER:
        words = f"{unit_words(unit)} belongs to {title.owner}: it is not ours to lend."
        raise Refused("unit_of_another_owner", words, "unit")


def _when(on: date, field: str, station: Station, at: datetime) -> Any:
    when = when_on(on, station.time_zone, at)
    if reasons := why_future(when.here, at, field):
        raise Refused.all_of(reasons)
    return when


@transaction.atomic
def end_loan(
    *,
    by: User,
    loan_id: int,
    station_id: int,
    returned_on: date,
    words: str,
    act_id: UUID,
    at: datetime,
) -> LoanEnd:
    """This will end a loan: the unit is back in quarantine, to be inspected before it is used.

    Refuses a loan that has ended (who ended it, when), a day before the lending or to come.
    """
    ask(by, "lend_unit")
    told: dict[str, Any] = {"loan_id": loan_id, "station_id": station_id}
    told |= {"returned_on": returned_on, "words": words}
    before = LoanEnd.objects.filter(act_id=act_id)
    if done := done_before(act_id, "end_loan", told, before, by=by, at=at):
        return done
    loan = _open_loan(loan_id)
    said = refuse_long(words, "words", 200)
    movement = _moved_back(loan, station_id, returned_on, said, by=by, act_id=act_id, at=at)
    return LoanEnd.objects.create(
        loan=loan,
        act_id=act_id,
        movement_id=movement,
        returned_on=returned_on,
        words=said,
        recorded_at=at,
        recorded_by=by,
    )


def _moved_back(
    loan: Loan, station_id: int, on: date, said: str, *, by: User, act_id: UUID, at: datetime
) -> int:
    if on < loan.lent_on:
        sentence = f"It was lent on {day_words(loan.lent_on)}: check the day."
        raise Refused("back_before_lending", sentence, "returned_on")
    station = Station.objects.filter(pk=station_id).first()
    if station is None:
        raise Refused("unknown_station", "There is no such station: choose one.", "station")
    move = MovementFact(
        loan.unit_id,
        "returned",
        PlaceAt(Place.QUARANTINE, station_id=station.pk),
        _when(on, "returned_on", station, at),
        document=loan.agreement,
        reason=said or f"Back from {loan.party}.",
    )
    act = uuid5(act_id, "back")
    return record_asked(by=by, rows=[move], act_id=act, at=at, is_strict=True)[0].movement_id


def _open_loan(loan_id: int) -> Loan:
    """The loan, its unit held, so that of two who end it one is told of the other."""
    found = Loan.objects.filter(pk=loan_id).first()
    if found is None:
        raise Refused("unknown_loan", "There is no such loan: look it up again.", "loan")
    lock_unit(found.unit_id)
    done = LoanEnd.objects.filter(loan=found).select_related("recorded_by").first()
    if done is not None:
        words = (
            f"{done.recorded_by.shown_name} has recorded it back on {day_words(done.returned_on)}."
        )
        raise Refused("loan_ended", words, "loan")
    return found


@dataclass(frozen=True, slots=True)
class NewLoan:
    """A unit of ours is lent out."""

    unit_id: int = unit_row()
    party: str = text("To whom", 80)
    agreement: str = text("Agreement", 80, help="The number of the agreement or order.")
    lent_on: date = day("Lent on")
    return_by: date = day("Comes back by")
    charge_amount: str = text("Charge", 16, default="", help="An amount such as 40.00.")
    charge_per: str = choice("Charged", [("", "not charged"), *PER], default="")
    currency: str = text("Currency", 3, default="", help="Its three letters.")
    words: str = text("In words", 200, default="")


@dataclass(frozen=True, slots=True)
class LoanBack:
    """What was lent is back."""

    loan_id: int = number("The loan", least=1, name="loan")
    station_id: int = station_coded("At station", help="A station's code.")
    returned_on: date = day("Returned on")
    words: str = text("In words", 200, default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class LoanShown:
    id: int
    unit: int = shown("unit_id")
    party: str
    agreement: str
    lent_on: date
    return_by: date


@dataclass(frozen=True, slots=True, kw_only=True)
class LoanEndShown:
    loan: int = shown("loan_id")
    movement: int = shown("movement_id")
    returned_on: date
    words: str


# --- declared ---------------------------------------------------------------------------------

LEND_UNIT = Act(
    name="lend_unit",
    does=lend_unit,
    said=NewLoan,
    as_="loan",
    tag="Stores",
    summary="Lend a unit out",
    description="A unit of ours goes to another party until a day, at a charge that is counted; it stands on the "
    "clerk's day before that day comes.",
    address="stores/loans",
    example={
        "act_id": EXAMPLE_ID,
        "unit": 812,
        "party": "Skerry Air",
        "agreement": "LN-2024-4",
        "lent_on": "2024-03-01",
        "return_by": "2024-04-01",
        "charge_amount": "40.00",
        "charge_per": "day",
        "currency": "EUR",
    },
    shows=LoanShown,
    answer={
        "id": 5,
        "unit": 812,
        "party": "Skerry Air",
        "agreement": "LN-2024-4",
        "lent_on": "2024-03-01",
        "return_by": "2024-04-01",
    },
)
END_LOAN = Act(
    name="end_loan",
    does=end_loan,
    said=LoanBack,
    who="lend_unit",
    tag="Stores",
    summary="Record that a loan is back",
    description="The unit is in quarantine until it is inspected, and the loan is closed.",
    address="stores/loan-ends",
    example={"act_id": EXAMPLE_ID, "loan": 5, "station": "LYD", "returned_on": "2024-03-28"},
    shows=LoanEndShown,
    answer={"loan": 5, "movement": 9140, "returned_on": "2024-03-28", "words": ""},
)
