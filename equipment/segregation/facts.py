"""What segregation judges by, read for any number of units in a fixed number of questions."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime

from equipment.common.wording import PLACE_PARTS, place_words, transit_words, unit_words
from equipment.ledger.nesting import inside_now
from equipment.models import (
    Certificate,
    Hold,
    PartPosition,
    Place,
    Reservation,
    ShopOrder,
    Title,
    Unit,
)
from equipment.segregation.ports import LimitsSay, expired_among
from fleet.words.said import day_words

from .rule import TitleFact, UnitUse, why_foreign
from .rules_of_aircraft import dual_release_asked
from .shop_first import latest_tags


@dataclass(frozen=True, slots=True)
class Asked:
    """For which need: on which day, judged at which instant, at which place, of which aircraft's names.

    Without a place any reservation is another's; ``with_expired`` asks the upper layers too.
    """

    on: date
    at: datetime
    place_id: int | None = None
    aircraft: tuple[str, ...] = ()
    with_expired: bool = True


def uses_of(unit_ids: Iterable[int], asked: Asked) -> dict[int, UnitUse]:
    """What each unit's use is judged by, by its key; an unknown unit is missing.

    A record that was merged into another is judged as the unit that it is.
    """
    roots = inside_now(unit_ids)
    rows = _Rows(roots, asked)
    return {unit: rows.use_of(unit) for unit in roots}


def without_dual_release(kept: Mapping[int, int]) -> set[int]:
    """Units whose latest certificate is not of both authorities' rules, of records and the units that they
    are. One question."""
    rows = Certificate.objects.filter(unit__in=kept).order_by("issued_on", "pk")
    last = {kept[unit]: is_dual for unit, is_dual in rows.values_list("unit", "is_dual_release")}
    return {unit for unit, is_dual in last.items() if not is_dual}


def aircraft_names(place: Place | None) -> tuple[str, ...]:
    """Registration and serial number of the aircraft that a place is on, itself or in a unit on it."""
    aircraft = None
    if place is not None and place.aircraft_position is not None:
        aircraft = place.aircraft_position.aircraft
    elif place is not None and place.around is not None:
        aircraft = place.around.aircraft
    return (aircraft.registration, aircraft.msn) if aircraft else ()


class _Rows:
    """The rows that the units' uses are read from, each table asked once."""

    def __init__(self, roots: dict[int, list[int]], asked: Asked) -> None:
        self.roots, self.asked = roots, asked
        every = sorted({unit for units in roots.values() for unit in units})
        # Of many units the parts are few: each is read once, not once with each of its units.
        units = Unit.objects.select_related("place__part_position", "split_from")
        self.units = units.prefetch_related("part_number").in_bulk(every)
        self.positions = self._positions()
        # What was recorded of a unit that turned out to be this one counts as this one's.
        self.kept = {unit: unit for unit in every}
        for unit in Unit.objects.filter(merged_into__in=every):
            self.kept[unit.pk] = unit.merged_into_id or unit.pk
        self.tags = latest_tags(self.kept, asked.at)
        self.papers = self._certificates()
        self.titles = self._titles()
        self.orders = self._orders()
        self.reserved = self._reservations()
        self.holds = list(Hold.objects.filter(ended=None, held_at__lte=asked.at).order_by("pk"))
        self.dual = dual_release_asked(asked.aircraft, asked.on)
        self.single = without_dual_release(self.kept) if self.dual else set()
        self.expired = expired_among(roots, asked.on) if asked.with_expired else {}

    def use_of(self, root: int) -> UnitUse:
        unit_id = self.roots[root][0]
        unit = self.units[unit_id]
        reservation, limits = self.reserved.get(unit_id), self.expired.get(root, LimitsSay())
        return UnitUse(
            words=unit_words(unit),
            is_quarantined=unit.place is not None and unit.place.sort == Place.QUARANTINE,
            at_shop=self.orders.get(unit_id, ""),
            in_transit=transit_words(unit.place),
            unserviceable=self._unserviceable(root),
            expired=limits.expired,
            unknown=limits.unknown,
            empty_inside=tuple(self._empty_inside(root)),
            holds=tuple(self._holds(root)),
            foreign=why_foreign(self.titles.get(unit_id), self.asked.on, self.asked.aircraft),
            reserved_for=_need(reservation) if reservation else "",
            reserved_by=reservation.reserved_by.shown_name if reservation else "",
            issued_to=_issued(reservation),
            has_certificate=bool(self.papers.get(unit_id)),
            dual_release_for=self.dual if unit_id in self.single else "",
        )

    def _positions(self) -> dict[int, list[str]]:
        """The codes of the positions inside, by part number."""
        parts = {unit.part_number_id for unit in self.units.values()}
        found: dict[int, list[str]] = defaultdict(list)
        rows = PartPosition.objects.filter(part_number__in=parts).order_by("code")
        for part, code in rows.values_list("part_number", "code"):
            found[part].append(code)
        return found

    def _empty_inside(self, root: int) -> list[str]:
        """Positions at any depth with nothing on record. What was fitted before a re-identification is
        at the old part's position of the same code."""
        taken = defaultdict(set)
        for each in self.roots[root]:
            place = self.units[each].place
            if place is not None and place.part_position is not None:
                taken[self.kept.get(place.parent_unit_id or 0, 0)].add(place.part_position.code)
        return [
            code if each == self.roots[root][0] else f"{code} of {unit_words(self.units[each])}"
            for each in self.roots[root]
            for code in self.positions[self.units[each].part_number_id]
            if code not in taken[each]
        ]

    def _unserviceable(self, root: int) -> str:
        unit_id = self.roots[root][0]
        for each in self.roots[root]:
            tag = self.tags.get(each)
            if tag is not None and tag.sort != "serviceable":
                why = f" ({tag.get_why_display()})" if tag.why else ""
                inside = "" if each == unit_id else f", of {unit_words(self.units[each])} in it"
                return f"{tag.get_sort_display()}{why}{inside}"
        return ""

    def _holds(self, root: int) -> list[str]:
        return [
            f"{hold.get_why_display()}, {hold.words.rstrip('.')}"
            for hold in self.holds
            if any(self._is_held(each, hold) for each in self.roots[root])
        ]

    def _is_held(self, unit_id: int, hold: Hold) -> bool:
        value = hold.value.casefold()
        papers = self.papers.get(unit_id, [])
        if hold.scope == "unit":
            return self.kept.get(hold.unit_id or 0) == unit_id
        if hold.scope == "certificate":
            return any(number.casefold() == value for number, _ in papers)
        if hold.scope == "supplier":
            return any(supplier.casefold() == value for _, supplier in papers)
        unit = self.units[unit_id]
        serials = {unit.serial_number, unit.split_from.serial_number if unit.split_from else ""}
        return unit.part_number.is_lot and value in {serial.casefold() for serial in serials}

    def _certificates(self) -> dict[int, list[tuple[str, str]]]:
        found: dict[int, list[tuple[str, str]]] = defaultdict(list)
        rows = Certificate.objects.filter(unit__in=self.kept)
        for unit, number, supplier in rows.values_list("unit", "tracking_number", "supplier"):
            found[self.kept[unit]].append((number, supplier))
        return found

    def _titles(self) -> dict[int, TitleFact]:
        rows = Title.objects.filter(unit__in=self.kept, from_on__lte=self.asked.on)
        return {
            self.kept[row.unit_id]: TitleFact(row.owner, row.restriction, row.return_by)
            for row in rows.order_by("from_on", "pk")
        }

    def _orders(self) -> dict[int, str]:
        """The shop and the order that a unit is away under, as of the day."""
        rows = ShopOrder.objects.filter(unit__in=self.kept, returned=None)
        known = rows.filter(sent_on__lte=self.asked.on).order_by("sent_on", "pk")
        return {self.kept[row.unit_id]: f"{row.shop}, order {row.number}" for row in known}

    def _reservations(self) -> dict[int, Reservation]:
        rows = Reservation.objects.filter(unit__in=self.kept, ended_at=None)
        if self.asked.place_id is not None:
            rows = rows.exclude(place=self.asked.place_id)
        parts = (f"place__{part}" for part in PLACE_PARTS)
        return {self.kept[row.unit_id]: row for row in rows.select_related("reserved_by", *parts)}


def _need(reservation: Reservation) -> str:
    return f"{place_words(reservation.place)} on {day_words(reservation.need_on)}"


def _issued(reservation: Reservation | None) -> str:
    """Whom a unit was handed to; what was issued before that was asked names nobody."""
    if reservation is None or reservation.issued_at is None:
        return ""
    return reservation.issued_to or "somebody"
