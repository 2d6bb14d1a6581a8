"""What is owed goes back: a unit that is another's, or a core for one that came in exchange. It closes what was owed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID, uuid5

from django.db import transaction

from equipment.availability.acts.units import lock_unit, refuse_not_at, when_on
from equipment.common.scanned import unit_meant
from equipment.common.wording import unit_words
from equipment.keeping.locks import lock
from equipment.keeping.record import record_asked
from equipment.ledger.facts import MovementFact, PlaceAt, When
from equipment.models import Place, SentBack, Title, Unit
from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.answers import shown
from fleet.acts.fields import day, number, text, yes_no
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.moments import why_future
from fleet.house.refusals import Refused
from fleet.house.texts import refuse_blank, refuse_long
from fleet.models import User
from fleet.words.said import day_words

from .allowed import refuse_leaving


@transaction.atomic
def send_back(*, by: User, back: UnitBack, act_id: UUID, at: datetime) -> SentBack:
    """This will send a unit that is another's back to its owner, which closes what its title owes.

    Refuses a title that owes no unit, one closed before (by whom), what is in no store or quarantine, what is set
    aside or handed over, a suspected part, and a day before it came or to come.
    """
    ask(by, "send_back")
    rows = SentBack.objects.filter(act_id=act_id)
    if done := done_before(act_id, "send_back", {"back": back}, rows, by=by, at=at):
        return done
    title = _title(back.title_id)
    unit = lock_unit(title.unit_id)
    _refuse_unowed(title, "unit")
    said = _Said(back.waybill, back.sent_on, back.words)
    return _gone(title, "unit", unit, by=by, said=said, act_id=act_id, at=at)


@transaction.atomic
def send_core(*, by: User, core: CoreBack, act_id: UUID, at: datetime) -> SentBack:
    """This will send a core to the party that exchanged a unit, which closes the core that its title owes.

    Refuses as a unit that goes back; a code that no unit, or more than one, answers to; the unit that came in
    exchange itself; and one of another kind of equipment unless that was confirmed (``core_differs``).
    """
    ask(by, "send_back")
    rows = SentBack.objects.filter(act_id=act_id)
    if done := done_before(act_id, "send_core", {"core": core}, rows, by=by, at=at):
        return done
    title = _title(core.title_id)
    named = unit_meant(core.code, at, field="core", needed="Scan the core that goes back.")
    lock(places=(), units=[title.unit_id, named.pk])
    unit = lock_unit(named.pk)
    _refuse_unowed(title, "core")
    _refuse_other(title, unit, is_confirmed=core.is_confirmed)
    said = _Said(core.waybill, core.sent_on, core.words)
    return _gone(title, "core", unit, by=by, said=said, act_id=act_id, at=at)


@dataclass(frozen=True, slots=True)
class _Said:
    waybill: str
    sent_on: date
    words: str


def _title(title_id: int) -> Title:
    found = Title.objects.filter(pk=title_id).select_related("unit__part_number").first()
    if found is None:
        raise Refused("unknown_title", "Nothing is owed under this number.", "title")
    return found


def _refuse_unowed(title: Title, what: str) -> None:
    """Its unit is held: of two who send it back one is told of the other."""
    if (title.return_by if what == "unit" else title.core_due_on) is None:
        raise Refused("nothing_owed", f"Of {unit_words(title.unit)} no {what} is owed.", "title")
    done = SentBack.objects.filter(title=title, what=what).select_related("recorded_by").first()
    if done is not None:
        words = f"{done.recorded_by.shown_name} has sent it back on {day_words(done.sent_on)}."
        raise Refused("sent_back_already", words, "title")


def _refuse_other(title: Title, unit: Unit, *, is_confirmed: bool) -> None:
    if unit.pk == (title.unit.merged_into_id or title.unit_id):
        words = f"{unit_words(unit)} came in exchange: the core is the unit that goes for it."
        raise Refused("core_is_the_unit", words, "core")
    if unit.part_number.kind_id != title.unit.part_number.kind_id and not is_confirmed:
        words = (
            f"{unit_words(unit)} is another kind of equipment than {unit_words(title.unit)}: take another, or confirm"
            " that it is what was agreed."
        )
        raise Refused("core_differs", words, "is_confirmed")


def _gone(
    title: Title,
    what: str,
    unit: Unit,
    *,
    by: User,
    said: _Said,
    act_id: UUID,
    at: datetime,
) -> SentBack:
    waybill = refuse_blank(said.waybill, "Give the number of its paper.", "waybill", 40)
    words = refuse_long(said.words, "words", 200)
    refuse_leaving(unit, said.sent_on, at)
    move = MovementFact(
        unit.pk,
        "exchanged" if what == "core" else "sent",
        PlaceAt(Place.PARTY, name=title.owner),
        _when(title, unit, said.sent_on, at),
        document=waybill,
        reason=words or title.document,
    )
    act = uuid5(act_id, "gone")
    (moved,) = record_asked(by=by, rows=[move], act_id=act, at=at, is_strict=True)
    return SentBack.objects.create(
        title=title,
        what=what,
        act_id=act_id,
        unit=unit,
        movement_id=moved.movement_id,
        waybill=waybill,
        sent_on=said.sent_on,
        words=words,
        recorded_at=at,
        recorded_by=by,
    )


def _when(title: Title, unit: Unit, on: date, at: datetime) -> When:
    """The day, where the unit is; refuses what is in no stock, a day before it was owed, and one to come."""
    station = refuse_not_at(unit, "unit_not_in_store", Place.STORE, Place.QUARANTINE).station
    assert station is not None
    if on < title.from_on:
        sentence = f"It is owed since {day_words(title.from_on)}: it cannot go back before."
        raise Refused("sent_before_owed", sentence, "sent_on")
    when = when_on(on, station.time_zone, at)
    if reasons := why_future(when.here, at, "sent_on"):
        raise Refused.all_of(reasons)
    return when


@dataclass(frozen=True, slots=True)
class UnitBack:
    """A unit that is another's goes back to its owner."""

    title_id: int = number("Its title", least=1, name="title")
    waybill: str = text("Number of its paper", 40)
    sent_on: date = day("Sent on")
    words: str = text("In words", 200, default="")


@dataclass(frozen=True, slots=True)
class CoreBack:
    """A core goes to the party that exchanged a unit."""

    title_id: int = number("The title of the exchange", least=1, name="title")
    code: str = text("Core that goes back: scan it, or part and serial number", 200, name="core")
    waybill: str = text("Number of its paper", 40)
    sent_on: date = day("Sent on")
    words: str = text("In words", 200, default="")
    is_confirmed: bool = yes_no("It is what was agreed, though of another kind")


@dataclass(frozen=True, slots=True, kw_only=True)
class SentBackShown:
    id: int
    title: int = shown("title_id")
    what: str
    unit: int = shown("unit_id")
    movement: int = shown("movement_id")
    waybill: str
    sent_on: date


# --- declared ---------------------------------------------------------------------------------

_ANSWER = {
    "id": 4,
    "title": 31,
    "what": "unit",
    "unit": 812,
    "movement": 9144,
    "waybill": "WB-7",
    "sent_on": "2024-03-01",
}
SEND_BACK = Act(
    name="send_back",
    does=send_back,
    said=UnitBack,
    as_="back",
    tag="Stores",
    summary="Send a unit back to its owner",
    description="Closes what its title owes: the unit is with its owner again.",
    address="stores/units-sent-back",
    example={"act_id": EXAMPLE_ID, "title": 31, "waybill": "WB-7", "sent_on": "2024-03-01"},
    shows=SentBackShown,
    answer=_ANSWER,
)
SEND_CORE = Act(
    name="send_core",
    does=send_core,
    said=CoreBack,
    as_="core",
    who="send_back",
    tag="Stores",
    summary="Send a core for an exchange",
    description="Closes the core that an exchange owes, by the unit that is sent for it.",
    address="stores/cores-sent-back",
    example={
        "act_id": EXAMPLE_ID,
        "title": 31,
        "core": "HS-4410-3 B00117",
        "waybill": "WB-8",
        "sent_on": "2024-03-01",
    },
    shows=SentBackShown,
    answer=_ANSWER | {"what": "core"},
)
