"""A stock-take as it stands: what is expected, what was scanned, what differs."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.db.models import QuerySet

from equipment.common.wording import PLACE_PARTS, place_words, unit_words
from equipment.models import Place, Reservation, Stay, StockTake, StockTakeScan, Unit

from .rule import (
    ELSEWHERE,
    MISSING,
    OTHER_BIN,
    QUANTITY,
    SETTLED_BY,
    Difference,
    OnRecord,
    Scanned,
    differences,
)

WORDS = {
    "missing": "On record here, not scanned",
    "elsewhere": "Scanned here, on record elsewhere",
    "other_bin": "In another bin",
    "quantity": "Another quantity",
    "unknown": "Unknown code",
}


@dataclass(frozen=True, slots=True)
class Told:
    """A difference as people read it: what, why, and the one way, or two, to settle it."""

    sort: str
    heading: str
    words: str
    unit_id: int | None
    scan_id: int | None
    ways: tuple[str, ...]

    @property
    def query(self) -> str:
        """How the page that settles it names it."""
        return f"unit={self.unit_id}" if self.unit_id else f"scan={self.scan_id}"


@dataclass(frozen=True, slots=True)
class Standing:
    """A stock-take: how many are expected, how many of these were scanned, what differs."""

    take: StockTake
    expected: int
    counted: int
    differs: tuple[Told, ...]

    @property
    def left(self) -> int:
        return self.expected - self.counted


def take_words(take: StockTake) -> str:
    """``store QEX1, bin R1-04``."""
    where = f"{take.store} {take.station.code}"
    return f"{where}, bin {take.bin_name}" if take.bin_name else f"all of {where}"


def standing(take: StockTake) -> Standing:
    """What a stock-take has come to, in a fixed number of questions."""
    lines = list(take.scans.order_by("scanned_at", "pk"))
    expected = set(expected_units(take))
    units = _units({*expected, *(line.unit_id for line in lines if line.unit_id)})
    found = _differences(take, lines, expected, units)
    by_scan = {line.pk: line for line in lines}
    scanned = {line.unit_id for line in lines}
    return Standing(
        take,
        len(expected),
        len(expected & scanned),
        tuple(_told(each, units, by_scan) for each in found),
    )


def difference_of(
    take: StockTake, *, unit_id: int | None, scan_id: int | None
) -> Difference | None:
    """The difference of a unit, or of a line that means none, as it stands now; None if there is none."""
    lines = list(take.scans.order_by("scanned_at", "pk"))
    expected = set(expected_units(take))
    units = _units({*expected, *(line.unit_id for line in lines if line.unit_id)})
    for each in _differences(take, lines, expected, units):
        if (unit_id and each.unit_id == unit_id) or (scan_id and each.scan_id == scan_id):
            return each
    return None


def expected_units(take: StockTake) -> QuerySet[Unit, int]:
    """What lies there by the records: not what was handed over and is not fitted yet."""
    units = Unit.objects.filter(
        place__sort=take.store,
        place__station=take.station_id,
        merged_into=None,
        quantity__gt=0,
    )
    if take.bin_name:
        units = units.filter(place__name=take.bin_name)
    issued = Reservation.objects.filter(ended_at=None, issued_at__isnull=False)
    return units.exclude(pk__in=issued.values("unit")).values_list("pk", flat=True)


def _units(keys: Iterable[int]) -> dict[int, Unit]:
    parts = (f"place__{part}" for part in PLACE_PARTS)
    units = Unit.objects.select_related("part_number", *parts)
    return {unit.pk: unit for unit in units.filter(pk__in=list(keys)).order_by("pk")}


def _differences(
    take: StockTake, lines: list[StockTakeScan], expected: set[int], units: dict[int, Unit]
) -> list[Difference]:
    since = _since(units)
    settled = list(take.settlements.filter(how__in=("controller", "here", "explained")))
    return differences(
        sorted(expected),
        {key: _on_record(take, unit, since.get(key)) for key, unit in units.items()},
        [
            Scanned(
                line.pk,
                line.unit_id,
                line.bin_name or take.bin_name,
                line.quantity,
                line.scanned_at,
            )
            for line in lines
        ],
        frozenset(each.unit_id for each in settled if each.unit_id),
        frozenset(each.scan_id for each in settled if each.scan_id),
    )


def _since(units: Iterable[int]) -> dict[int, datetime]:
    """When each came to where it is."""
    rows = Stay.objects.filter(unit__in=list(units), known__upper_inf=True, valid__upper_inf=True)
    return {unit: valid.lower for unit, valid in rows.values_list("unit", "valid")}


def _on_record(take: StockTake, unit: Unit, since: datetime | None) -> OnRecord:
    place = unit.place
    if place is None or place.sort != take.store or place.station_id != take.station_id:
        return OnRecord(is_here=False, since=since)
    return OnRecord(is_here=True, bin_name=place.name, quantity=unit.quantity, since=since)


def _told(each: Difference, units: dict[int, Unit], lines: dict[int, StockTakeScan]) -> Told:
    line = lines.get(each.scan_id or 0)
    ways = SETTLED_BY[each.sort]
    if each.unit_id is None:
        assert line is not None
        words = f"“{line.code}” means no unit on record."
    else:
        unit = units[each.unit_id]
        words = f"{unit_words(unit)}: {_why(each, unit, line)}"
        if each.sort == ELSEWHERE:
            on_aircraft = unit.place is not None and unit.place.sort == Place.AIRCRAFT
            ways = ("controller",) if on_aircraft else ("here",)
    return Told(each.sort, WORDS[each.sort], words, each.unit_id, each.scan_id, ways)


def _why(each: Difference, unit: Unit, line: StockTakeScan | None) -> str:
    if each.sort == MISSING:
        bin_name = unit.place.name if unit.place else ""
        return f"on record in bin {bin_name}." if bin_name else "on record here without a bin."
    if each.sort == ELSEWHERE:
        return f"on record at {place_words(unit.place)}."
    assert line is not None
    if each.sort == OTHER_BIN:
        named = unit.place.name if unit.place else ""
        return f"on record in {f'bin {named}' if named else 'no bin'}."
    assert each.sort == QUANTITY
    return f"{line.quantity} counted, {unit.quantity} on record."
