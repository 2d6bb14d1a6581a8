"""A unit is sent from one station to another with its papers, and is in transit until it is received there."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID, uuid5

from django.db import transaction

from equipment.availability.acts.units import lock_unit, refuse_not_at, when_on
from equipment.common.said import station_coded, unit_row
from equipment.common.wording import IN_TRANSIT, unit_words
from equipment.keeping.record import record_asked
from equipment.leaving.reads import Particulars, dangerous_inside
from equipment.ledger.facts import MovementFact, PlaceAt
from equipment.models import Place, Transfer, TransferReceipt, Unit
from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.answers import shown
from fleet.acts.fields import day, number, text, yes_no
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.moments import why_future
from fleet.house.refusals import Refused
from fleet.house.texts import refuse_blank, refuse_long
from fleet.models import Station, User
from fleet.words.said import day_words

from .allowed import refuse_leaving


@transaction.atomic
def send_transfer(*, by: User, transfer: NewTransfer, act_id: UUID, at: datetime) -> Transfer:
    """This will send a unit to another station: it is in transit, and in neither store, until received there.

    The particulars of dangerous goods, of it and of what is inside it, go with it as they are now. Refuses
    what is in no store or quarantine, the station it is at, what is set aside or handed over, a suspected part,
    a day to come, and dangerous goods whose particulars the operator has not given (``particulars_missing``).
    """
    ask(by, "transfer_unit")
    rows = Transfer.objects.filter(act_id=act_id)
    said = {"transfer": transfer}
    if done := done_before(act_id, "send_transfer", said, rows, by=by, at=at):
        return done
    unit = lock_unit(transfer.unit_id)
    left, origin, to = _way(unit, transfer.station_id)
    waybill = refuse_blank(transfer.waybill, "Give the number of its paper.", "waybill", 40)
    words = refuse_long(transfer.words, "words", 200)
    refuse_leaving(unit, transfer.sent_on, at)
    particulars = _particulars(unit)
    move = MovementFact(
        unit.pk,
        "sent",
        PlaceAt(Place.PARTY, name=f"{IN_TRANSIT} {origin.code} to {to.code}"),
        _when(transfer.sent_on, "sent_on", origin, at),
        document=waybill,
        reason=words,
    )
    return Transfer.objects.create(
        act_id=act_id,
        unit=unit,
        movement_id=_moved(move, by=by, act_id=act_id, at=at),
        origin=origin,
        station=to,
        left=left,
        waybill=waybill,
        particulars={"goods": [asdict(each) for each in particulars]},
        words=words,
        sent_on=transfer.sent_on,
        recorded_at=at,
        recorded_by=by,
    )


def _way(unit: Unit, station_id: int) -> tuple[str, Station, Station]:
    """Whether it leaves a store or a quarantine, of which station, and where it goes."""
    place = refuse_not_at(unit, "unit_not_in_store", Place.STORE, Place.QUARANTINE)
    origin, to = place.station, _station(station_id)
    assert origin is not None
    if origin == to:
        words = f"{unit_words(unit)} is at {to.code}: choose another station."
        raise Refused("same_station", words, "station")
    return place.sort, origin, to


def _station(station_id: int) -> Station:
    found = Station.objects.filter(pk=station_id).first()
    if found is None:
        raise Refused("unknown_station", "There is no such station: choose one.", "station")
    return found


def _when(on: date, field: str, station: Station, at: datetime) -> Any:
    when = when_on(on, station.time_zone, at)
    if reasons := why_future(when.here, at, field):
        raise Refused.all_of(reasons)
    return when


def _moved(move: MovementFact, *, by: User, act_id: UUID, at: datetime) -> int:
    act = uuid5(act_id, "moved")
    (moved,) = record_asked(by=by, rows=[move], act_id=act, at=at, is_strict=True)
    return moved.movement_id


def _particulars(unit: Unit) -> list[Particulars]:
    found, missing = dangerous_inside(unit)
    if missing:
        words = (
            f"{', '.join(missing)} is dangerous goods: bring its UN number, class, quantity and packing by the"
            " sheet “Dangerous goods” first."
        )
        raise Refused("particulars_missing", words, "unit")
    return found


@transaction.atomic
def receive_transfer(
    *,
    by: User,
    transfer_id: int,
    received_on: date,
    is_damaged: bool,
    words: str,
    act_id: UUID,
    at: datetime,
) -> TransferReceipt:
    """This will receive a transfer at its station: into the store, or into quarantine if it left one or is damaged.

    Refuses one that was received (by whom, when), a day before the sending or to come, and damage without words.
    """
    ask(by, "transfer_unit")
    told = {"transfer_id": transfer_id, "received_on": received_on}
    told |= {"is_damaged": is_damaged, "words": words}
    before = TransferReceipt.objects.filter(act_id=act_id)
    if done := done_before(act_id, "receive_transfer", told, before, by=by, at=at):
        return done
    transfer = _open_transfer(transfer_id)
    said = _refuse_arrival(transfer, received_on, words, is_damaged=is_damaged)
    move = MovementFact(
        transfer.unit_id,
        "returned",
        PlaceAt(Place.QUARANTINE if is_damaged else transfer.left, station_id=transfer.station_id),
        _when(received_on, "received_on", transfer.station, at),
        document=transfer.waybill,
        reason=said,
    )
    return TransferReceipt.objects.create(
        transfer=transfer,
        act_id=act_id,
        movement_id=_moved(move, by=by, act_id=act_id, at=at),
        received_on=received_on,
        is_damaged=is_damaged,
        words=said,
        recorded_at=at,
        recorded_by=by,
    )


def _refuse_arrival(transfer: Transfer, on: date, words: str, *, is_damaged: bool) -> str:
    if on < transfer.sent_on:
        sentence = f"It was sent on {day_words(transfer.sent_on)}: check the day."
        raise Refused("received_before_sending", sentence, "received_on")
    if is_damaged:
        return refuse_blank(words, "Say what is damaged.", "words", 200)
    return refuse_long(words, "words", 200)


def _open_transfer(transfer_id: int) -> Transfer:
    """The transfer, its unit held, so that of two who receive it one is told of the other."""
    found = Transfer.objects.filter(pk=transfer_id).select_related("station").first()
    if found is None:
        raise Refused(
            "unknown_transfer", "There is no such transfer: look it up again.", "transfer"
        )
    lock_unit(found.unit_id)
    done = TransferReceipt.objects.filter(transfer=found).select_related("recorded_by").first()
    if done is not None:
        words = f"{done.recorded_by.shown_name} has received it on {day_words(done.received_on)}."
        raise Refused("transfer_received", words, "transfer")
    return found


@dataclass(frozen=True, slots=True)
class NewTransfer:
    """A unit goes to another station."""

    unit_id: int = unit_row()
    station_id: int = station_coded("To station", help="A station's code.")
    waybill: str = text("Number of its paper", 40, help="Of the waybill or transfer note.")
    sent_on: date = day("Sent on")
    words: str = text("Words for who receives it", 200, default="")


@dataclass(frozen=True, slots=True)
class TransferArrived:
    """A transfer arrived."""

    transfer_id: int = number("The transfer", least=1, name="transfer")
    received_on: date = day("Received on")
    is_damaged: bool = yes_no("It is damaged: into quarantine")
    words: str = text("In words", 200, default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class TransferShown:
    id: int
    unit: int = shown("unit_id")
    origin: str = shown("origin.code")
    station: str = shown("station.code")
    waybill: str
    sent_on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class ArrivalShown:
    transfer: int = shown("transfer_id")
    movement: int = shown("movement_id")
    received_on: date
    is_damaged: bool
    words: str


# --- declared ---------------------------------------------------------------------------------

SEND_TRANSFER = Act(
    name="send_transfer",
    does=send_transfer,
    said=NewTransfer,
    as_="transfer",
    who="transfer_unit",
    tag="Stores",
    summary="Send a unit to another station",
    description="The unit is in transit, available at neither station, until it is received there; its particulars as "
    "dangerous goods go with it.",
    address="stores/transfers",
    example={
        "act_id": EXAMPLE_ID,
        "unit": 812,
        "station": "LYD",
        "waybill": "TN-2024-17",
        "sent_on": "2024-03-01",
        "words": "For the spring check.",
    },
    shows=TransferShown,
    answer={
        "id": 9,
        "unit": 812,
        "origin": "NRV",
        "station": "LYD",
        "waybill": "TN-2024-17",
        "sent_on": "2024-03-01",
    },
)
RECEIVE_TRANSFER = Act(
    name="receive_transfer",
    does=receive_transfer,
    said=TransferArrived,
    who="transfer_unit",
    tag="Stores",
    summary="Receive a transfer",
    description="The unit is in the store of its station, or in quarantine if it left one or is damaged.",
    address="stores/transfer-receipts",
    example={"act_id": EXAMPLE_ID, "transfer": 9, "received_on": "2024-03-03", "words": ""},
    shows=ArrivalShown,
    answer={
        "transfer": 9,
        "movement": 9131,
        "received_on": "2024-03-03",
        "is_damaged": False,
        "words": "",
    },
)
