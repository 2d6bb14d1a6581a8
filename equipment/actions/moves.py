"""What people do with a unit, by its name: each is one row of :func:`record_movements`.

All take ``by``, ``unit_id``, ``when`` (it happened), ``act_id`` (the sender's) and ``at`` (it is
recorded), and what a :class:`MovementFact` may say besides (``document``, ``reason``,
``aircraft_minutes`` …). All refuse what is said there.
"""

from __future__ import annotations

from datetime import datetime
from typing import Any, TypedDict, Unpack
from uuid import UUID

from equipment.keeping.record import record_movements
from equipment.ledger.facts import MovementFact, PlaceAt, Recorded, When
from equipment.ledger.picture import SCRAPPED
from equipment.models import Place
from fleet.models import User

#: What is said once of the whole act, not of its movement.
OF_THE_CALL = ("by", "act_id", "at", "sender_at", "is_strict")


class _Needed(TypedDict):
    by: User
    unit_id: int
    when: When
    act_id: UUID
    at: datetime


class Move(_Needed, total=False):
    """What every verb takes."""

    sender_at: datetime | None
    is_strict: bool
    day_order: int
    aircraft_minutes: int | None
    aircraft_cycles: int | None
    log_page: str
    document: str
    reason: str
    quantity: int | None


def receive_unit(
    *, station_id: int, is_quarantined: bool = False, **move: Unpack[Move]
) -> Recorded:
    """A unit comes in, to a station's store, or to its quarantine until its papers are seen."""
    sort = Place.QUARANTINE if is_quarantined else Place.STORE
    return _move("received", PlaceAt(sort, station_id=station_id), move)


def install_unit(*, to: int | PlaceAt, **move: Unpack[Move]) -> Recorded:
    """A unit goes on an aircraft, or into another unit."""
    return _move("installed", to, move)


def remove_unit(*, to: int | PlaceAt, **move: Unpack[Move]) -> Recorded:
    """A unit comes off, to a store, a quarantine or a shop."""
    return _move("removed", to, move)


def send_unit(*, to: int | PlaceAt, **move: Unpack[Move]) -> Recorded:
    """A unit goes to a shop, another party or another station."""
    return _move("sent", to, move)


def return_unit(*, station_id: int, is_quarantined: bool = False, **move: Unpack[Move]) -> Recorded:
    """A unit comes back from where it was sent or lent."""
    sort = Place.QUARANTINE if is_quarantined else Place.STORE
    return _move("returned", PlaceAt(sort, station_id=station_id), move)


def quarantine_unit(*, station_id: int, **move: Unpack[Move]) -> Recorded:
    return _move("quarantined", PlaceAt(Place.QUARANTINE, station_id=station_id), move)


def release_unit(*, station_id: int, **move: Unpack[Move]) -> Recorded:
    """A unit leaves quarantine for stock."""
    return _move("released", PlaceAt(Place.STORE, station_id=station_id), move)


def lend_unit(*, party: str, **move: Unpack[Move]) -> Recorded:
    return _move("lent", PlaceAt(Place.PARTY, name=party), move)


def borrow_unit(*, station_id: int, **move: Unpack[Move]) -> Recorded:
    return _move("borrowed", PlaceAt(Place.STORE, station_id=station_id), move)


def exchange_unit(*, party: str, **move: Unpack[Move]) -> Recorded:
    """A unit goes to another party for one that is received in its stead."""
    return _move("exchanged", PlaceAt(Place.PARTY, name=party), move)


def sell_unit(*, party: str, **move: Unpack[Move]) -> Recorded:
    return _move("sold", PlaceAt(Place.PARTY, name=party), move)


def lose_unit(**move: Unpack[Move]) -> Recorded:
    return _move("lost", PlaceAt(Place.GONE, name="lost"), move)


def find_unit(*, station_id: int, **move: Unpack[Move]) -> Recorded:
    return _move("found", PlaceAt(Place.STORE, station_id=station_id), move)


def scrap_unit(**move: Unpack[Move]) -> Recorded:
    return _move("scrapped", PlaceAt(Place.GONE, name=SCRAPPED), move)


def _move(sort: str, to: int | PlaceAt, move: Move) -> Recorded:
    said: dict[str, Any] = dict(move)
    call = {name: said.pop(name) for name in OF_THE_CALL if name in said}
    (done,) = record_movements(rows=[MovementFact(sort=sort, to=to, **said)], **call)
    return done
