"""A difference of a stock-take is settled: by the movement that makes the records say what is there."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from functools import partial
from uuid import UUID, uuid5

from django.db import transaction

from equipment.availability.acts.units import lock_unit
from equipment.common.said import unit_row
from equipment.common.wording import place_words, unit_words
from equipment.keeping.record import record_asked
from equipment.ledger.facts import MovementFact, PlaceAt, When
from equipment.models import (
    Discrepancy,
    Place,
    Reservation,
    ShopOrder,
    StockTake,
    StockTakeScan,
    StockTakeSettlement,
    Unit,
)
from equipment.stocktaking.reads import difference_of, take_words
from equipment.stocktaking.rule import SETTLED_BY, UNKNOWN, Difference
from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.answers import shown
from fleet.acts.fields import choice, number, text
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.house.texts import refuse_blank, refuse_long
from fleet.models import User

from .counts import open_take

HOW = dict(StockTakeSettlement.HOW)
#: Where a unit may be on record that is found here by a clerk alone.
MAY_BE_BROUGHT = frozenset({Place.STORE, Place.QUARANTINE, Place.PARTY, Place.GONE, ""})


@transaction.atomic
def settle_difference(
    *,
    by: User,
    take_id: int,
    how: str,
    unit_id: int | None,
    scan_id: int | None,
    words: str,
    act_id: UUID,
    at: datetime,
) -> StockTakeSettlement:
    """This will settle one difference: a missing unit is recorded as lost, one in another bin as stowed there,
    one on record elsewhere as found here and put in quarantine, one on record on an aircraft as a
    discrepancy for the controller; an unknown code by words.

    Refuses what does not differ now, a way that does not suit the difference, and one without words where it
    needs them; the movements refuse as the ledger does.
    """
    ask(by, "count_stock")
    told = {"take_id": take_id, "how": how, "unit_id": unit_id, "scan_id": scan_id, "words": words}
    rows = StockTakeSettlement.objects.filter(act_id=act_id)
    if done := done_before(act_id, "settle_difference", told, rows, by=by, at=at):
        return done
    take = open_take(take_id)
    unit = lock_unit(unit_id) if unit_id else None
    key = unit.pk if unit else None
    found = difference_of(take, unit_id=key, scan_id=None if unit else scan_id)
    said = _refuse_unsuited(found, how, words)
    assert found is not None
    return StockTakeSettlement.objects.create(
        stock_take=take,
        act_id=act_id,
        how=how,
        unit=unit,
        scan_id=found.scan_id,
        movement_id=_done(take, found, unit, how, said, by=by, act_id=act_id, at=at),
        words=said,
        settled_at=at,
        settled_by=by,
    )


def _refuse_unsuited(found: Difference | None, how: str, words: str) -> str:
    if found is None:
        sentence = "Nothing differs there now: look at the stock-take again."
        raise Refused("nothing_differs", sentence, "unit")
    if how not in SETTLED_BY[found.sort]:
        ways = " or ".join(HOW[way] for way in SETTLED_BY[found.sort])
        raise Refused("way_does_not_suit", f"This is settled by: {ways}.", "how")
    if found.sort == UNKNOWN or how == "lost":
        return refuse_blank(words, "Say what was found out.", "words", 200)
    return refuse_long(words, "words", 200)


def _done(
    take: StockTake,
    found: Difference,
    unit: Unit | None,
    how: str,
    words: str,
    *,
    by: User,
    act_id: UUID,
    at: datetime,
) -> int | None:
    """The movement by which the records say what is there; None where none does."""
    if unit is None:
        return None
    on_aircraft = unit.place is not None and unit.place.sort == Place.AIRCRAFT
    if how == "controller":
        if not on_aircraft:
            raise Refused("way_does_not_suit", f"This is settled by: {HOW['here']}.", "how")
        _show_controller(take, unit, words, by=by, act_id=act_id, at=at)
        return None
    if how == "here":
        _refuse_brought(unit)
    fact = _movement(take, found, unit, how, words=words, at=at)
    act = uuid5(act_id, "moved")
    (moved,) = record_asked(by=by, rows=[fact], act_id=act, at=at, is_strict=True)
    return moved.movement_id


def _movement(
    take: StockTake, found: Difference, unit: Unit, how: str, *, words: str, at: datetime
) -> MovementFact:
    when = When(at, "instant", take.station.time_zone)
    why = (f"stock-take {take.pk}: {words}" if words else f"stock-take {take.pk}")[:200]
    moved = partial(MovementFact, unit.pk, when=when, document=f"stock-take {take.pk}", reason=why)
    if how == "lost":
        return moved(sort="lost", to=PlaceAt(Place.GONE, name="lost"))
    assert found.scan_id is not None, "only what is missing was not scanned"
    scan = StockTakeScan.objects.get(pk=found.scan_id)
    bin_name = scan.bin_name or take.bin_name
    if how == "here":
        to = PlaceAt(Place.QUARANTINE, station_id=take.station_id)
        is_gone = unit.place is None or unit.place.sort == Place.GONE
        return moved(sort="found" if is_gone else "returned", to=to)
    there = unit.place
    assert there is not None
    name = bin_name if how == "bin" else there.name
    to = PlaceAt(take.store, station_id=take.station_id, name=name)
    count = scan.quantity if how == "quantity" else None
    return moved(sort="stowed", to=to, quantity=count)


def _refuse_brought(unit: Unit) -> None:
    """What is fitted, or away under an order or set aside, is brought back by the act that ends that."""
    order = ShopOrder.objects.filter(unit=unit, returned=None).first()
    if order is not None:
        words = (
            f"{unit_words(unit)} is at {order.shop} under order {order.number}: record its return."
        )
        raise Refused("unit_at_shop", words, "unit")
    sort = unit.place.sort if unit.place else ""
    if sort not in MAY_BE_BROUGHT:
        words = f"{unit_words(unit)} is on record at {place_words(unit.place)}: "
        words += (
            "it is shown to the controller." if sort == Place.AIRCRAFT else "record its removal."
        )
        raise Refused("unit_recorded_elsewhere", words, "how")
    held = Reservation.objects.filter(unit=unit, ended_at=None).first()
    if held is not None:
        words = f"{unit_words(unit)} is set aside at {place_words(unit.place)}: free it first."
        raise Refused("reserved_elsewhere", words, "unit")


def _show_controller(
    take: StockTake, unit: Unit, words: str, *, by: User, act_id: UUID, at: datetime
) -> None:
    assert unit.place is not None
    said = f"{unit_words(unit)}, on record at {place_words(unit.place)}, was counted in {take_words(take)}"
    Discrepancy.objects.create(
        act_id=uuid5(act_id, "shown"),
        sort="no_unit",
        aircraft_id=unit.aircraft_id,
        place=unit.place,
        recorded_unit=unit,
        words=(f"{said}: {words}" if words else f"{said}.")[:400],
        found_at=at,
        found_by=by,
    )


@dataclass(frozen=True, slots=True)
class Settled:
    """How one difference of a stock-take is settled: of a unit, or of the line of an unknown code."""

    take_id: int = number("The stock-take", least=1, name="count")
    how: str = choice("It is settled so", StockTakeSettlement.HOW)
    unit_id: int | None = unit_row(default=None)
    scan_id: int | None = number(
        "The line", least=1, default=None, name="line", help="Of an unknown code."
    )
    words: str = text("What was found out", 200, default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class SettlementOfCountShown:
    id: int
    count: int = shown("stock_take_id")
    how: str
    unit: int | None = shown("unit_id")
    line: int | None = shown("scan_id")
    movement: int | None = shown("movement_id")
    words: str


# --- declared ---------------------------------------------------------------------------------

SETTLE_DIFFERENCE = Act(
    name="settle_difference",
    does=settle_difference,
    said=Settled,
    who="count_stock",
    tag="Stores",
    summary="Settle a difference of a stock-take",
    description="Makes the records say what is there: a missing unit is lost, one in another bin is stowed there, "
    "one on record elsewhere goes to quarantine, one on record on an aircraft is shown to the controller.",
    address="stores/count-settlements",
    example={
        "act_id": EXAMPLE_ID,
        "count": 7,
        "how": "lost",
        "unit": 812,
        "words": "Searched twice.",
    },
    shows=SettlementOfCountShown,
    answer={
        "id": 5,
        "count": 7,
        "how": "lost",
        "unit": 812,
        "line": None,
        "movement": 9120,
        "words": "Searched twice.",
    },
)
