"""What is on record and reckoned of an operator's own spreadsheet."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import date

from equipment.models import LifeStatement, Maker, PartNumber, Unit
from fleet.models import UtilisationReading
from fleet.own_sheets.beside.claims import Claim, Reckoned
from fleet.own_sheets.gathered import OnRecord
from fleet.own_sheets.words.counts import CODES, CYCLES, HOURS
from scheduling.engine.basis.result import MISSING_WORDS
from scheduling.models import Amount, DueItem, Limit, Work
from scheduling.reckoning.recompute import recompute_units

from .stamps import stamps_on_record


def equipment_is_told(numbers: set[str]) -> OnRecord:
    """The makers of part numbers on record, and where their units stand; makers, works, limits; stamps of cylinders. Eight queries."""
    record = OnRecord(
        maker_codes=set(Maker.objects.values_list("code", flat=True)),
        works=set(Work.objects.values_list("code", flat=True)),
    )
    record.limits, record.limited_parts = _limits_on_record()
    parts = PartNumber.objects.filter(number__in=numbers).order_by("-pk")
    for number, maker in parts.values_list("number", "maker__code"):
        record.makers[number.upper()] = maker
    units = Unit.objects.filter(
        original_part__number__in=numbers, merged_into=None, place__isnull=False
    )
    columns = (
        "original_part__number",
        "serial_number",
        "place__sort",
        "place__station__code",
        "place__aircraft_position__aircraft__registration",
        "place__aircraft_position__type_position__code",
    )
    for number, serial, sort, station, registration, position in units.values_list(*columns):
        stands = (
            (registration, position) if registration else ("", station if sort == "store" else sort)
        )
        record.places[number.upper(), serial.upper()] = stands
    record.totals = _totals_stated(numbers)
    record.stamps = stamps_on_record(numbers)
    return record


def _totals_stated(numbers: set[str]) -> dict[tuple[str, str, str, str], int]:
    """The latest total stated of each unit of these part numbers."""
    stated = LifeStatement.objects.filter(
        unit__original_part__number__in=numbers, corrected_by=None
    )
    columns = (
        "unit__original_part__number",
        "unit__serial_number",
        "measure__code",
        "since",
        "total",
    )
    return {
        (number.upper(), serial.upper(), measure, f"since {since}"): total
        for number, serial, measure, since, total in stated.order_by("stated_on").values_list(
            *columns
        )
    }


def _limits_on_record() -> tuple[set[str], dict[str, set[str]]]:
    """``KIND WORK`` of every limit of a whole kind, and by the same the part numbers that others name."""
    names = ("kind__code", "work__code", "part_numbers__kind__code", "part_numbers__number")
    whole: set[str] = set()
    parts: dict[str, set[str]] = defaultdict(set)
    for kind, work, of_part, number in Limit.objects.values_list(*names):
        if number:
            parts[f"{of_part} {work}"].add(number.upper())
        elif kind:
            whole.add(f"{kind} {work}")
    return whole, parts


def dates_are_told(claims: Sequence[Claim], today: date) -> list[Reckoned | None]:
    """What is reckoned of each claim's unit and work, as of today. Reckons the units concerned anew."""
    units = _units_of({(claim.part, claim.serial) for claim in claims})
    recompute_units(units.values(), today)
    found: dict[tuple[int, str], DueItem] = {}
    items = DueItem.objects.filter(unit__in=units.values()).select_related("work", "limit")
    for item in items.order_by("sort_on", "pk"):
        found.setdefault((item.unit_id or 0, item.work.code), item)
    amounts = _amounts_of({item.limit_id for item in found.values()})
    craft = _totals_of({item.aircraft_id for item in found.values()} - {None})
    told = {
        key: _told(item, amounts.get(item.limit_id, {}), craft.get(item.aircraft_id or 0, {}))
        for key, item in found.items()
    }
    return [told.get((units.get((claim.part, claim.serial), 0), claim.work)) for claim in claims]


def _units_of(keys: set[tuple[str, str]]) -> dict[tuple[str, str], int]:
    numbers = {part for part, _ in keys}
    units = Unit.objects.filter(original_part__number__in=numbers, merged_into=None)
    rows = units.values_list("original_part__number", "serial_number", "pk")
    return {
        (number.upper(), serial.upper()): key
        for number, serial, key in rows
        if (number.upper(), serial.upper()) in keys
    }


def _amounts_of(limits: set[int]) -> dict[int, dict[str, int]]:
    """By limit and measure what it allows, where that is one amount only; flight hours as ``fh``."""
    amounts: dict[tuple[int, str], set[int]] = defaultdict(set)
    rows = Amount.objects.filter(clock__limit__in=limits)
    columns = ("clock__limit_id", "clock__measure", "value")
    for limit, measure, value in rows.values_list(*columns):
        amounts[limit, measure].add(value or 0)
    found: dict[int, dict[str, int]] = defaultdict(dict)
    for (limit, measure), values in amounts.items():
        if len(values) == 1:
            found[limit][_MEASURES.get(measure, measure)] = values.pop()
    return found


_MEASURES = {code: measure for measure, code in CODES.items()}


def _totals_of(aircraft: set[int | None]) -> dict[int, dict[str, int]]:
    """The latest totals read of each aircraft: hours in minutes, and cycles."""
    found: dict[int, dict[str, int]] = defaultdict(dict)
    readings = UtilisationReading.objects.filter(
        aircraft__in=aircraft, measure__code__in=_MEASURES, corrected_by=None, is_conforming=True
    )
    columns = ("aircraft_id", "measure__code", "total")
    for craft, code, total in readings.order_by("read_at", "pk").values_list(*columns):
        found[craft][_MEASURES[code]] = total
    return found


def _told(item: DueItem, amounts: Mapping[str, int], craft: Mapping[str, int]) -> Reckoned:
    lacks = [words for fact, words in MISSING_WORDS.items() if item.missing & fact]
    missing = f"{' and '.join(lacks)} is not on record" if lacks else ""

    def known(minutes: int | None, cycles: int | None) -> dict[str, int]:
        both = {HOURS: minutes, CYCLES: cycles}
        return {measure: total for measure, total in both.items() if total is not None}

    return Reckoned(
        item.due_on,
        amounts.get("months"),
        item.limit.code,
        missing,
        is_by_count=item.due_on_projected,
        at=known(item.due_at_minutes, item.due_at_cycles),
        left=known(item.left_minutes, item.left_cycles),
        craft=craft,
        amounts={measure: amounts[measure] for measure in _MEASURES.values() if measure in amounts},
    )
