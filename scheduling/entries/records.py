"""What stands on record and is entered line by line on a page: each with its kind of sheet and its rows."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from django.db.models import QuerySet

from equipment.models import Alternate, Fit, Maker, PartNumber, PartPosition, RuleSet
from equipment.procedures.sheets.rule_sets import RULE_SETS
from equipment.units.sheets.fits import ALTERNATES, FITS
from equipment.units.sheets.makers import MAKERS
from equipment.units.sheets.parts import INSIDE, PART_NUMBERS
from fleet.aircraft.sheets.aircraft import AIRCRAFT
from fleet.aircraft.sheets.layout import LAYOUT
from fleet.aircraft.sheets.standing import POSITION_STATES, STATIONS_OF_AIRCRAFT, STATUSES
from fleet.aircraft.sheets.stations import STATIONS
from fleet.aircraft.sheets.types import AIRCRAFT_TYPES, KINDS
from fleet.intake.registry import Column, SheetKind
from fleet.models import (
    Aircraft,
    AircraftStation,
    AircraftStatus,
    AircraftType,
    Kind,
    Measure,
    PlannedRate,
    PositionState,
    Station,
    TypePosition,
)
from fleet.utilisation.sheets.measures import MEASURES
from fleet.utilisation.sheets.rates import RATES
from fleet.words.said import day_words, hours_words
from scheduling.models import Programme, ProgrammeOfAircraft, Work
from scheduling.programme.sheets.programmes import PROGRAMMES, PROGRAMMES_OF_AIRCRAFT, WORKS

from .cabin import placed

Rows = Callable[[], QuerySet[Any]]
MOST_LISTED = 400


@dataclass(frozen=True, slots=True)
class Record:
    """One sort of fact as a page: ``one`` is what a line is ("a station"), ``reads`` says by field of
    the sheet where a row on record has it (a dotted path, or a function of the row); ``left_out``
    are fields that the page does not show, which ``find`` may tell out of what was typed; ``moves``: a
    line may move due dates of its aircraft; ``page`` is the page of one row, by its code; ``starts``: what the
    form of a new line begins with."""

    slug: str
    kind: SheetKind
    one: str
    rows: Rows
    reads: Mapping[str, str | Callable[[Any], Any]]
    left_out: tuple[str, ...] = ()
    moves: bool = False
    find: Callable[[Mapping[str, Any]], Mapping[str, Any]] = lambda typed: {}
    page: str = ""
    starts: Mapping[str, Any] = field(default_factory=dict)

    @property
    def columns(self) -> list[Column]:
        return [each for each in self.kind.columns if each.field not in self.left_out]


def value_of(record: Record, row: Any, field: str) -> Any:
    """What a row on record says in a field, as one would type it; "" where it says nothing."""
    where = record.reads.get(field, field)
    if callable(where):
        return where(row)
    found = row
    for name in where.split("."):
        found = getattr(found, name) if found is not None else None
    if isinstance(found, list):
        return ", ".join(map(str, found))
    return "" if found is None else found


def shown(record: Record, row: Any, column: Column) -> str:
    """The same in words."""
    value = value_of(record, row, column.field)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if column.choices:
        return column.choices.get(value, str(value))
    return day_words(value) if hasattr(value, "year") else str(value)


def _of(model: Any, *related: str, order: tuple[str, ...]) -> Rows:
    def rows() -> QuerySet[Any]:
        found: QuerySet[Any] = model.objects.all()
        return (found.select_related(*related) if related else found).order_by(*order)

    return rows


def _per_day(rate: PlannedRate) -> str:
    if rate.measure.unit == Measure.MINUTES:
        return hours_words(round(rate.per_day_milli / 1000))
    return f"{rate.per_day_milli / 1000:g}"


def _aliases(maker: Maker) -> str:
    return "; ".join(alias.alias for alias in maker.aliases.all())


_CRAFT = {"aircraft": "aircraft.registration"}
_PART = {"maker": "part_number.maker.code", "part": "part_number.number"}

RECORDS: tuple[Record, ...] = (
    Record("stations", STATIONS, "a station", _of(Station, order=("code",)), {}),
    Record("kinds", KINDS, "a kind of equipment", _of(Kind, order=("code",)), {}),
    Record("measures", MEASURES, "a measure", _of(Measure, order=("code",)), {}),
    Record(
        "types",
        AIRCRAFT_TYPES,
        "an aircraft type",
        _of(AircraftType, order=("code",)),
        {},
        left_out=("plan",),
        page="scheduling:cabin",
    ),
    Record(
        "positions",
        LAYOUT,
        "a position",
        _of(TypePosition, "aircraft_type", "kind", order=("aircraft_type__code", "x_cm", "code")),
        {"aircraft_type": "aircraft_type.code", "kind": "kind.code"},
        left_out=("x_cm", "y_cm"),
        find=placed,
    ),
    Record(
        "aircraft",
        AIRCRAFT,
        "an aircraft",
        _of(Aircraft, "aircraft_type", "station", order=("registration",)),
        {"aircraft_type": "aircraft_type.code", "station": "station.code"},
    ),
    Record(
        "status",
        STATUSES,
        "a status from a day on",
        _of(AircraftStatus, "aircraft", order=("aircraft__registration", "-from_on", "-pk")),
        {**_CRAFT, "replaces": lambda row: row.replaces_id is not None},
        moves=True,
    ),
    Record(
        "bases",
        STATIONS_OF_AIRCRAFT,
        "a station from a day on",
        _of(AircraftStation, "aircraft", "station", order=("aircraft__registration", "-from_on")),
        {**_CRAFT, "station": "station.code"},
        moves=True,
    ),
    Record(
        "position-states",
        POSITION_STATES,
        "a state of a position",
        _of(
            PositionState,
            "position__aircraft",
            "position__type_position",
            order=("position__aircraft__registration", "-from_on", "pk"),
        ),
        {"aircraft": "position.aircraft.registration", "position": "position.type_position.code"},
        moves=True,
    ),
    Record(
        "makers",
        MAKERS,
        "a maker",
        lambda: Maker.objects.prefetch_related("aliases").order_by("code"),
        {"aliases": _aliases},
    ),
    Record(
        "parts",
        PART_NUMBERS,
        "a part number",
        _of(PartNumber, "maker", "kind", order=("number", "maker__code")),
        {"maker": "maker.code", "part": "number", "kind": "kind.code"},
    ),
    Record(
        "inside",
        INSIDE,
        "a position inside a part",
        _of(PartPosition, "part_number__maker", "kind", order=("part_number__number", "code")),
        {**_PART, "position": "code", "kind": "kind.code"},
    ),
    Record(
        "fits",
        FITS,
        "a fit",
        _of(
            Fit,
            "part_number__maker",
            "type_position__aircraft_type",
            "part_position__part_number__maker",
            order=("part_number__number", "pk"),
        ),
        {
            **_PART,
            "aircraft_type": lambda fit: (
                fit.type_position.aircraft_type.code if fit.type_position else ""
            ),
            "inside_maker": lambda fit: (
                fit.part_position.part_number.maker.code if fit.part_position else ""
            ),
            "inside_part": lambda fit: (
                fit.part_position.part_number.number if fit.part_position else ""
            ),
            "position": lambda fit: (fit.type_position or fit.part_position).code,
        },
    ),
    Record(
        "alternates",
        ALTERNATES,
        "an alternate",
        _of(Alternate, "part_number__maker", "alternate__maker", order=("part_number__number",)),
        {
            **_PART,
            "alternate_maker": "alternate.maker.code",
            "alternate_part": "alternate.number",
        },
    ),
    Record("works", WORKS, "a work", _of(Work, order=("code",)), {}),
    Record("programmes", PROGRAMMES, "a programme", _of(Programme, order=("code",)), {}),
    Record(
        "followed",
        PROGRAMMES_OF_AIRCRAFT,
        "the programme that an aircraft follows",
        _of(
            ProgrammeOfAircraft,
            "aircraft",
            "programme",
            order=("aircraft__registration", "-from_on"),
        ),
        {**_CRAFT, "programme": "programme.code"},
        moves=True,
    ),
    Record(
        "rates",
        RATES,
        "a planned rate",
        _of(PlannedRate, "aircraft", "measure", order=("aircraft__registration", "-from_on")),
        {**_CRAFT, "measure": "measure.code", "per_day": _per_day},
        moves=True,
    ),
    Record(
        "signing",
        RULE_SETS,
        "rules of signing",
        _of(RuleSet, "aircraft", order=("code", "-from_on", "-pk")),
        _CRAFT,
        starts={
            "code": "SIGN",
            "revision": "1",
            "warns_same_mistake": True,
            "step_statement": "I have done this step as the approved data requires.",
            "inspection_statement": "I have inspected this step independently of who did it.",
            "release_statement": "I certify that this work was carried out as the approved data requires.",
        },
    ),
)
BY_SLUG: Mapping[str, Record] = {record.slug: record for record in RECORDS}
