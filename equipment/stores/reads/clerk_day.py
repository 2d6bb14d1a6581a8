"""The clerk's day: what waits, in flat lists, each line with the one next act."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from typing import TypeVar

from equipment.common.wording import PLACE_PARTS, place_words, unit_words
from equipment.models import Place, Reservation, ShopOrder, Stay, Unit
from equipment.models.units import UnitQuerySet
from equipment.segregation.doubted import doubted_among
from equipment.segregation.facts import Asked, uses_of
from equipment.segregation.rule import UnitUse, why_not_use
from equipment.stores.ports import ToSetAside, proposed_to_set_aside
from equipment.units.printed import ToBringBack, tags_to_bring_back
from fleet.words.said import day_words

from .issued import Issued, issued
from .owed import Owed, owed, owed_soon
from .shop_loop import AtShop, at_shops

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Waiting:
    """A unit in quarantine, or one to be sent: why, since when. ``act`` is the one next act, in words."""

    unit_id: int
    unit: str
    station: str
    why: str
    since_on: date | None
    act: str
    link: str


@dataclass(frozen=True, slots=True)
class ToIssue:
    """A unit set aside: for what and when; ``wrong`` is why it may not be issued, empty if nothing."""

    reservation_id: int
    unit_id: int
    unit: str
    station: str
    bin_name: str
    need: str
    need_on: date
    reserved_by: str
    wrong: str
    act: str
    link: str


@dataclass(frozen=True, slots=True)
class Incoming:
    """What is expected at a station: from a shop, by its latest promise."""

    order_id: int
    unit_id: int
    unit: str
    origin: str
    expected_on: date
    is_late: bool
    act: str
    link: str


class Few(list[T]):
    """The first of a longer list: ``total`` says how many there are."""

    def __init__(self, rows: Iterable[T], total: int) -> None:
        super().__init__(rows)
        self.total = total


def total_of(rows: Sequence[object]) -> int:
    """How many a list has in all, the ones left out too."""
    return rows.total if isinstance(rows, Few) else len(rows)


@dataclass(frozen=True, slots=True)
class ClerkDay:
    """The lists of one day at one station (or everywhere); one that was not asked for is empty."""

    to_receive: list[Incoming] = field(default_factory=list)
    to_inspect: list[Waiting] = field(default_factory=list)
    to_set_aside: list[ToSetAside] = field(default_factory=list)
    to_issue: list[ToIssue] = field(default_factory=list)
    issued: list[Issued] = field(default_factory=list)
    to_send: list[Waiting] = field(default_factory=list)
    late: list[AtShop] = field(default_factory=list)
    in_quarantine: list[Waiting] = field(default_factory=list)
    owed: list[Owed] = field(default_factory=list)
    tags: list[ToBringBack] = field(default_factory=list)


def clerk_day(*, today: date, at: datetime, station: str = "", most: int | None = None) -> ClerkDay:
    """The day of a clerk, at one station or everywhere; a fixed number of questions. With ``most`` only so many
    of what waits in stock and to be issued are read, and the others counted (:func:`total_of`).
    """
    orders = at_shops(today)
    if station:
        here = set(
            ShopOrder.objects.filter(station__code=station, returned=None).values_list(
                "pk", flat=True
            )
        )
        orders = [order for order in orders if order.order_id in here]
    in_stock = waiting_in_stock(today=today, at=at, station=station, most=most)
    return replace(
        to_hand_out(today=today, at=at, station=station, most=most),
        to_receive=[_incoming(order) for order in orders],
        to_inspect=in_stock.to_inspect,
        to_send=in_stock.to_send,
        late=[order for order in orders if order.is_late],
        in_quarantine=in_stock.in_quarantine,
        owed=owed_soon(owed(today), station),
        tags=tags_to_bring_back(today, at, station),
    )


def waiting_in_stock(
    *, today: date, at: datetime, station: str = "", most: int | None = None
) -> ClerkDay:
    """Of the day what lies in stock and waits for a person."""
    found = _sorted_out(station, today, at, most)
    return ClerkDay(
        to_inspect=found["inspect"], to_send=found["send"], in_quarantine=found["papers"]
    )


def to_hand_out(
    *, today: date, at: datetime, station: str = "", most: int | None = None
) -> ClerkDay:
    """Of the day what is to be set aside, and what is set aside and to be issued."""
    return ClerkDay(
        to_set_aside=proposed_to_set_aside(station, today),
        to_issue=_to_issue(station, at, most),
        issued=issued(today, station),
    )


def proposed_for(unit_id: int, today: date) -> list[ToSetAside]:
    """The needs that the kept proposal means a unit for and that nobody has accepted yet."""
    return [each for each in proposed_to_set_aside("", today) if each.unit_id == unit_id]


#: The order of lists of units.
BY_NAME = ("part_number__number", "serial_number", "pk")
#: What is no fault of a unit: it is set aside, or its owner allows it somewhere only.
ITS_OWN = frozenset({"reserved_elsewhere", "unit_of_another_owner"})
#: What besides every received unit has until it is inspected.
ROUTINE = ITS_OWN | {"unit_quarantined"}


def _sorted_out(
    station: str, today: date, at: datetime, most: int | None
) -> dict[str, Few[Waiting]]:
    """Of the stock what waits for a person, by the next act: to inspect, to send, papers to clear.

    Of most of a stock nothing is said: only the others are judged, and of these only what is shown is read.
    """
    doubted = doubted_among(_stock(station).values_list("pk", flat=True), today)
    uses = uses_of(doubted, Asked(today, at))
    steps: dict[str, list[int]] = {"inspect": [], "send": [], "papers": []}
    told: dict[int, str] = {}
    ordered = _stock(station).filter(pk__in=doubted).order_by(*BY_NAME)
    for key in ordered.values_list("pk", flat=True):
        words = [each.message for each in why_not_use(uses[key]) if each.code not in ROUTINE]
        if step := _next_step(uses[key], is_faultless=not words):
            steps[step].append(key)
            told[key] = " ".join(words)
    shown = [key for keys in steps.values() for key in keys[:most]]
    units = _stock(station).select_related("part_number", "place__station").in_bulk(shown)
    since, put_there = _since(shown), why_quarantined(shown)
    found = {}
    for step, keys in steps.items():
        rows = [
            _waiting(
                units[key],
                told[key] or put_there.get(key, "It waits for its incoming inspection."),
                step,
                since.get(key),
            )
            for key in keys[:most]
        ]
        found[step] = Few(rows, len(keys))
    return found


def _next_step(use: UnitUse, *, is_faultless: bool) -> str:
    """What a unit in stock waits for; empty where it waits for nothing."""
    if use.is_quarantined and is_faultless:
        return "inspect"
    if use.holds or (use.is_quarantined and not use.has_certificate):
        return "papers"
    return "send" if use.unserviceable or use.expired else ""


def _since(keys: list[int]) -> dict[int, date]:
    rows = Stay.objects.filter(unit__in=keys, known__upper_inf=True, valid__upper_inf=True)
    return {unit: valid.lower.date() for unit, valid in rows.values_list("unit", "valid")}


def why_quarantined(keys: Iterable[int]) -> dict[int, str]:
    """Why somebody put a unit into quarantine, where that is where it lies now."""
    rows = Stay.objects.filter(
        unit__in=keys, known__upper_inf=True, valid__upper_inf=True, begun_by__sort="quarantined"
    ).exclude(begun_by__reason="")
    told = rows.values_list("unit", "begun_by__reason")
    return {unit: f"Put in quarantine: {reason.rstrip('.')}." for unit, reason in told}


def _stock(station: str) -> UnitQuerySet:
    units = Unit.objects.filter(
        place__sort__in=(Place.STORE, Place.QUARANTINE), merged_into=None, quantity__gt=0
    )
    return units.filter(place__station__code=station) if station else units


NEXT = {
    "inspect": "Inspect it",
    "send": "Send it to the shop",
    "papers": "Clear why it is here",
}


def _waiting(unit: Unit, why: str, step: str, since: date | None) -> Waiting:
    station = unit.place.station.code if unit.place and unit.place.station else ""
    link = f"/stores/units/{unit.pk}/{step}/"
    return Waiting(unit.pk, unit_words(unit), station, why, since, NEXT[step], link)


def _incoming(order: AtShop) -> Incoming:
    act = "Chase the shop" if order.is_late else "Record its return"
    return Incoming(
        order.order_id,
        order.unit_id,
        order.unit,
        order.shop,
        order.promised_on,
        order.is_late,
        act,
        f"/stores/shop/{order.order_id}/",
    )


def _to_issue(station: str, at: datetime, most: int | None) -> Few[ToIssue]:
    rows = Reservation.objects.filter(ended_at=None, issued_at=None)
    if station:
        rows = rows.filter(unit__place__station__code=station)
    parts = [f"{of}__{part}" for of in ("place", "unit__place") for part in PLACE_PARTS]
    read = rows.select_related("unit__part_number", "reserved_by", *parts)
    found = list(read.order_by("need_on", "pk")[:most])
    uses = _uses_at_need(found, at)
    total = len(found) if most is None else rows.count()
    return Few([_issue(row, uses[row.pk]) for row in found], total)


def _uses_at_need(rows: list[Reservation], at: datetime) -> dict[int, UnitUse]:
    """Each unit's use on the day of its need, by reservation.

    What nothing stands against on the last of the days is good on every day before: only the others
    are asked again, for their own.
    """
    days = {row.pk: max(row.need_on, at.date()) for row in rows}
    if not rows:
        return {}
    latest = max(days.values())
    last = uses_of([row.unit_id for row in rows], Asked(latest, at))
    found = {row.pk: last[row.unit_id] for row in rows}
    doubtful = [row for row in rows if last[row.unit_id].expired and days[row.pk] < latest]
    for day in sorted({days[row.pk] for row in doubtful}):
        of_day = [row for row in doubtful if days[row.pk] == day]
        uses = uses_of([row.unit_id for row in of_day], Asked(day, at))
        found |= {row.pk: uses[row.unit_id] for row in of_day}
    return found


def _issue(row: Reservation, use: UnitUse) -> ToIssue:
    reasons = [each.message for each in why_not_use(use) if each.code not in ITS_OWN]
    place = row.unit.place
    return ToIssue(
        row.pk,
        row.unit_id,
        unit_words(row.unit),
        place.station.code if place and place.station else "",
        place.name if place else "",
        f"{place_words(row.place)} on {day_words(row.need_on)}",
        row.need_on,
        row.reserved_by.shown_name,
        reasons[0] if reasons else "",
        "Choose another unit" if reasons else "Issue it",
        f"/stores/reservations/{row.pk}/",
    )
