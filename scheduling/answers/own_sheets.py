"""What is on record and reckoned of an operator's own spreadsheet."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import date

from equipment.models import LifeStatement, Maker, PartNumber, Unit
from fleet.own_sheets.comparing import Claim, Reckoned
from fleet.own_sheets.gathered import OnRecord
from scheduling.engine.basis.result import MISSING_WORDS
from scheduling.models import Amount, DueItem, Limit, Work
from scheduling.reckoning.recompute import recompute_units


def equipment_is_told(numbers: set[str]) -> OnRecord:
    """The makers of part numbers on record, and where their units stand; makers, works, limits. Seven queries."""
    record = OnRecord(
        maker_codes=set(Maker.objects.values_list("code", flat=True)),
        works=set(Work.objects.values_list("code", flat=True)),
        limits=_limits_on_record(),
    )
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


def _limits_on_record() -> set[str]:
    """``KIND WORK`` of every limit; one without a kind is of the kinds of the parts that it lists."""
    kinds = Limit.objects.values_list("kind__code", "part_numbers__kind__code", "work__code")
    return {f"{kind or of_part} {work}" for kind, of_part, work in kinds if kind or of_part}


def dates_are_told(claims: Sequence[Claim], today: date) -> list[Reckoned | None]:
    """What is reckoned of each claim's unit and work, as of today. Reckons the units concerned anew."""
    units = _units_of({(claim.part, claim.serial) for claim in claims})
    recompute_units(units.values(), today)
    found: dict[tuple[int, str], DueItem] = {}
    items = DueItem.objects.filter(unit__in=units.values()).select_related("work", "limit")
    for item in items.order_by("sort_on", "pk"):
        found.setdefault((item.unit_id or 0, item.work.code), item)
    months = _months_of({item.limit_id for item in found.values()})
    told = {key: _told(item, months) for key, item in found.items()}
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


def _months_of(limits: set[int]) -> dict[int, int]:
    """The months of those limits that allow one number of months only."""
    amounts: dict[int, set[int]] = defaultdict(set)
    rows = Amount.objects.filter(clock__limit__in=limits, clock__measure="months")
    for limit, value in rows.values_list("clock__limit_id", "value"):
        amounts[limit].add(value or 0)
    return {limit: values.pop() for limit, values in amounts.items() if len(values) == 1}


def _told(item: DueItem, months: dict[int, int]) -> Reckoned:
    lacks = [words for fact, words in MISSING_WORDS.items() if item.missing & fact]
    missing = "" if item.due_on or not lacks else f"{' and '.join(lacks)} is not on record"
    return Reckoned(item.due_on, months.get(item.limit_id), item.limit.code, missing)
