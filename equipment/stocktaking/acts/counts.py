"""A stock-take is begun, each scan is a line of it, and it ends once nothing differs."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from equipment.common import scanned
from equipment.common.said import station_coded
from equipment.common.wording import unit_words
from equipment.keeping.places import place_ids
from equipment.ledger.facts import PlaceAt
from equipment.models import Place, StockTake, StockTakeScan, Unit
from equipment.stocktaking.reads import standing, take_words
from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.answers import shown
from fleet.acts.fields import choice, number, text
from fleet.acts.repeats import claim, done_before
from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.house.texts import refuse_blank, refuse_long
from fleet.models import Station, User
from fleet.words.said import moment_words

MOST_NAMED = 3


@transaction.atomic
def begin_stock_take(
    *, by: User, station_id: int, store: str, bin_name: str, act_id: UUID, at: datetime
) -> StockTake:
    """This will begin the count of a bin, or of a whole store or quarantine where no bin is named.

    Refuses one that is being counted (``count_begun``), by whom and since when, a bin of a store that is
    counted whole, and a whole store of which a bin is counted.
    """
    ask(by, "count_stock")
    told = {"station_id": station_id, "store": store, "bin": bin_name}
    rows = StockTake.objects.filter(act_id=act_id)
    if done := done_before(act_id, "begin_stock_take", told, rows, by=by, at=at):
        return done
    if store not in dict(StockTake.STORES):
        raise Refused("unknown_store", "Choose the store or the quarantine.", "store")
    if not Station.objects.filter(pk=station_id).exists():
        raise Refused("unknown_station", "There is no such station: choose one.", "station")
    name = refuse_long(bin_name, "bin", 80)
    _lock_store(station_id, store)
    _refuse_unknown_bin(station_id, store, name)
    _refuse_begun(station_id, store, name)
    return StockTake.objects.create(
        act_id=act_id, station_id=station_id, store=store, bin_name=name, begun_at=at, begun_by=by
    )


def _lock_store(station_id: int, store: str) -> None:
    """Of two who begin at one moment, one waits here and is then told of the other's."""
    (key,) = place_ids([PlaceAt(store, station_id=station_id)])
    list(Place.objects.select_for_update(of=("self",)).filter(pk=key or 0))


def _refuse_unknown_bin(station_id: int, store: str, name: str) -> None:
    places = Place.objects.filter(sort=store, station=station_id, name=name)
    if name and not places.exists():
        words = f"Nothing was ever put into a bin “{name}” there: check its name."
        raise Refused("unknown_bin", words, "bin")


def _refuse_begun(station_id: int, store: str, name: str) -> None:
    rows = StockTake.objects.filter(station=station_id, store=store, ended_at=None)
    for each in rows.select_related("station", "begun_by").order_by("pk"):
        if not name or not each.bin_name or each.bin_name == name:
            words = (
                f"{each.begun_by.shown_name} has been counting {take_words(each)} since"
                f" {moment_words(each.begun_at)}: go on with that one, or end it first."
            )
            raise Refused("count_begun", words, "bin")


@transaction.atomic
def count_scan(
    *,
    by: User,
    take_id: int,
    code: str,
    bin_name: str,
    quantity: int | None,
    act_id: UUID,
    at: datetime,
) -> StockTakeScan:
    """This will keep one scan as a line, also of a code that means no unit: that is a difference to settle.

    Refuses a stock-take that has ended, nothing scanned, a code that may mean several units, and a
    quantity of what is no lot.
    """
    ask(by, "count_stock")
    told = {"take_id": take_id, "code": code, "bin": bin_name, "quantity": quantity}
    rows = StockTakeScan.objects.filter(act_id=act_id)
    if done := done_before(act_id, "count_scan", told, rows, by=by, at=at):
        return done
    take = open_take(take_id)
    said = refuse_blank(code, "Scan the unit, or type its part and serial number.", "code", 200)
    unit = _unit_of(said, at)
    _refuse_quantity(unit, quantity)
    return StockTakeScan.objects.create(
        stock_take=take,
        act_id=act_id,
        code=said,
        unit=unit,
        bin_name=refuse_long(bin_name, "bin", 80),
        quantity=quantity,
        scanned_at=at,
        scanned_by=by,
    )


def open_take(take_id: int) -> StockTake:
    """The stock-take, held until the act ends. Refuses an unknown one and one that has ended."""
    rows = StockTake.objects.select_for_update(of=("self",)).select_related("station", "ended_by")
    found = rows.filter(pk=take_id).first()
    if found is None:
        raise Refused("unknown_count", "There is no such stock-take: look it up again.", "count")
    if found.ended_at is not None:
        who = found.ended_by.shown_name if found.ended_by else "Somebody"
        words = f"{who} has ended this stock-take on {moment_words(found.ended_at)}."
        raise Refused("count_ended", words, "count")
    return found


def _unit_of(code: str, at: datetime) -> Unit | None:
    found = scanned.units_of(code, at.year)
    if len(found) > 1:
        names = ", ".join(unit_words(unit) for unit in found[:MOST_NAMED])
        words = f"“{code}” may be {names}: give part and serial number."
        raise Refused("ambiguous_unit", words, "code")
    return found[0] if found else None


def _refuse_quantity(unit: Unit | None, quantity: int | None) -> None:
    if quantity is None:
        return
    if quantity < 0:
        raise Refused("out_of_range", "A count is not below zero.", "quantity")
    if unit is not None and not unit.part_number.is_lot and quantity != 1:
        words = f"{unit_words(unit)} is one unit, not a lot: leave the quantity blank."
        raise Refused("no_lot", words, "quantity")


@transaction.atomic
def end_stock_take(*, by: User, take_id: int, words: str, act_id: UUID, at: datetime) -> StockTake:
    """This will end a stock-take. Refuses one with differences that nobody has settled, naming them."""
    ask(by, "count_stock")
    told = {"take_id": take_id, "words": words}
    if not claim(act_id, "end_stock_take", told, by=by, at=at):
        return StockTake.objects.get(pk=take_id)
    take = open_take(take_id)
    left = standing(take).differs
    if left:
        named = "; ".join(f"{each.heading.lower()}: {each.words}" for each in left[:MOST_NAMED])
        count = f"{len(left)} differences are" if len(left) > 1 else "One difference is"
        more = " …" if len(left) > MOST_NAMED else ""
        raise Refused("differences_left", f"{count} not settled: {named}{more}", "count")
    take.ended_at, take.ended_by = max(at, take.begun_at), by
    take.ended_words = refuse_long(words, "words", 300)
    take.save(update_fields=["ended_at", "ended_by", "ended_words"])
    return take


@dataclass(frozen=True, slots=True)
class NewCount:
    """Which store, or which bin of it, is counted."""

    station_id: int = station_coded(help="A station's code.")
    store: str = choice("Counted is", StockTake.STORES, default="store")
    bin_name: str = text("Bin (blank: all of it)", 80, default="", name="bin")


@dataclass(frozen=True, slots=True)
class CountedLine:
    """One scan."""

    take_id: int = number("The stock-take", least=1, name="count")
    code: str = text("Scan or type: a code, or part and serial number", 200)
    quantity: int | None = number("Pieces, of a lot", default=None, most=1_000_000)
    bin_name: str = text(
        "Bin it lies in, where all of a store is counted", 80, default="", name="bin"
    )


@dataclass(frozen=True, slots=True)
class CountEnd:
    """A stock-take that nothing is left of."""

    take_id: int = number("The stock-take", least=1, name="count")
    words: str = text("In words", 300, default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class CountShown:
    id: int
    station: str = shown("station.code")
    store: str
    bin: str = shown("bin_name")
    begun_at: datetime
    ended_at: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class CountLineShown:
    id: int
    count: int = shown("stock_take_id")
    code: str
    unit: int | None = shown("unit_id")
    bin: str = shown("bin_name")
    quantity: int | None


# --- declared ---------------------------------------------------------------------------------

_SHOWN = {
    "id": 7,
    "station": "QEX1",
    "store": "store",
    "bin": "R1-04",
    "begun_at": "2024-03-01T10:00:00Z",
    "ended_at": None,
}
BEGIN_STOCK_TAKE = Act(
    name="begin_stock_take",
    does=begin_stock_take,
    said=NewCount,
    who="count_stock",
    tag="Stores",
    summary="Begin a stock-take",
    description="Begins the count of a bin, or of a whole store. What is being counted is not begun twice.",
    address="stores/counts",
    example={"act_id": EXAMPLE_ID, "station": "LYD", "store": "store", "bin": ""},
    shows=CountShown,
    answer=_SHOWN,
)
COUNT_SCAN = Act(
    name="count_scan",
    does=count_scan,
    said=CountedLine,
    who="count_stock",
    tag="Stores",
    summary="Count a scanned unit",
    description="One scan of a stock-take. A code that means no unit is kept, as a difference to settle.",
    address="stores/count-lines",
    example={"act_id": EXAMPLE_ID, "count": 7, "code": "HS-1 S9"},
    shows=CountLineShown,
    answer={"id": 31, "count": 7, "code": "HS-1 S9", "unit": 812, "bin": "", "quantity": None},
)
END_STOCK_TAKE = Act(
    name="end_stock_take",
    does=end_stock_take,
    said=CountEnd,
    who="count_stock",
    tag="Stores",
    summary="End a stock-take",
    description="Ends a stock-take whose differences are all settled; else each is named.",
    address="stores/count-ends",
    example={"act_id": EXAMPLE_ID, "count": 7, "words": ""},
    shows=CountShown,
    answer={**_SHOWN, "ended_at": "2024-03-01T11:00:00Z"},
)
