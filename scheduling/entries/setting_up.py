"""What is there of an operator's data, and what comes next: read for the page that begins with an empty house."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Exists, Model, OuterRef, QuerySet
from django.urls import NoReverseMatch, reverse

from equipment.models import BottleChart, Fit, Maker, PartNumber, RuleSet, StepList, Unit
from equipment.procedures.reads import kinds_without_list
from fleet.house.pages import today
from fleet.models import (
    Aircraft,
    AircraftType,
    Authorisation,
    Check,
    Kind,
    Measure,
    Station,
    TypePosition,
    User,
    UtilisationReading,
)
from fleet.words.said import count_words
from scheduling.due.uncovered import uncovered_in_all
from scheduling.facts.rules import every_revision
from scheduling.models import Clock, Limit, Programme, ProgrammeOfAircraft, Work

from .compliance import unknown_serials

#: Where a spreadsheet is brought as it is; where there is no such page, sheets are brought.
WAYS_IN = ("fleet:load_own", "fleet:loads")


@dataclass(frozen=True, slots=True)
class Part:
    """One sort of fact within a step: how many are on record, and the page to enter them."""

    words: str
    count: str
    href: str
    is_there: bool


@dataclass(frozen=True, slots=True)
class Step:
    """One step of setting up. ``lacks`` says what is still open, in a sentence; empty: nothing is."""

    heading: str
    why: str
    parts: tuple[Part, ...]
    lacks: tuple[str, ...]

    @property
    def is_open(self) -> bool:
        return bool(self.lacks)


def bring_address() -> str:
    """The page to which an operator's own spreadsheet is brought."""
    for name in WAYS_IN:
        try:
            return reverse(name)
        except NoReverseMatch:
            continue
    return "/"


def steps_open() -> list[Step]:
    """Every step in the order in which one rests on the other."""
    return [
        _stations(),
        _aircraft(),
        _positions(),
        _parts(),
        _limits(),
        _units(),
        _hours(),
        _checks(),
        _people(),
        _changes(),
    ]


def _part(words: str, rows: QuerySet[Model] | type[Model], page: str) -> Part:
    count = (rows if isinstance(rows, QuerySet) else rows._default_manager.all()).count()
    return Part(words, count_words(count), reverse(page), count > 0)


def _lacking(*open_: tuple[bool, str]) -> tuple[str, ...]:
    return tuple(words for is_open, words in open_ if is_open)


def _stations() -> Step:
    stations = _part("stations", Station, "scheduling:enter_stations")
    return Step(
        "Stations",
        "Where aircraft belong, checks are done and stores are.",
        (stations,),
        _lacking((not stations.is_there, "No station is on record: enter the first.")),
    )


def _aircraft() -> Step:
    types = _part("types", AircraftType, "scheduling:enter_types")
    aircraft = _part("aircraft", Aircraft, "scheduling:enter_aircraft")
    return Step(
        "Aircraft",
        "Each with its type, station and serial number.",
        (types, aircraft),
        _lacking(
            (not types.is_there, "No aircraft type is on record."),
            (not aircraft.is_there, "No aircraft is on record."),
        ),
    )


def _positions() -> Step:
    kinds = _part("kinds of equipment", Kind, "scheduling:enter_kinds")
    positions = _part("positions", TypePosition, "scheduling:enter_positions")
    bare = AircraftType.objects.exclude(pk__in=TypePosition.objects.values("aircraft_type"))
    named = ", ".join(bare.order_by("code").values_list("code", flat=True)[:5])
    return Step(
        "Positions",
        "The places of each type that take a unit, each of one kind.",
        (kinds, positions),
        _lacking(
            (not kinds.is_there, "No kind of equipment is on record."),
            (not positions.is_there, "No position is on record."),
            (bool(named and positions.is_there), f"Without any position: {named}."),
        ),
    )


def _parts() -> Step:
    makers = _part("makers", Maker, "scheduling:enter_makers")
    parts = _part("part numbers", PartNumber, "scheduling:enter_parts")
    fits = _part("fits", Fit, "scheduling:enter_fits")
    return Step(
        "Part numbers",
        "What units are, and which position each may go to: left and right are told apart by fits only.",
        (makers, parts, fits),
        _lacking(
            (not makers.is_there, "No maker is on record."),
            (not parts.is_there, "No part number is on record."),
            (
                parts.is_there and not fits.is_there,
                "Fits are not entered: any part of its kind is taken for fit at any position of that kind,"
                " of either hand.",
            ),
        ),
    )


def _limits() -> Step:
    programmes = _part("programmes", Programme, "scheduling:enter_programmes")
    works = _part("works", Work, "scheduling:enter_works")
    limits = _part("limits", Limit, "scheduling:limits")
    fleet = Aircraft.objects.exclude(status=Aircraft.LEFT)
    followed = fleet.exclude(pk__in=ProgrammeOfAircraft.objects.values("aircraft"))
    named = ", ".join(followed.order_by("registration").values_list("registration", flat=True)[:5])
    bare = Limit.objects.filter(~Exists(Clock.objects.filter(limit=OuterRef("pk"))))
    codes = ", ".join(bare.order_by("code").values_list("code", flat=True)[:5])
    unlisted = _without_a_unit()
    follows = _part("aircraft following one", ProgrammeOfAircraft, "scheduling:enter_followed")
    return Step(
        "Limits",
        "Which work falls due on what, how often, by which document.",
        (programmes, works, limits, follows),
        _lacking(
            (not programmes.is_there, "No programme is on record."),
            (not limits.is_there, "No limit is on record: nothing falls due."),
            (bool(codes), f"Without any clock, so never due: {codes}."),
            (bool(named), f"Follow no programme, so nothing falls due on them: {named}."),
            (bool(unlisted), unlisted),
            (bool(cylinders := _uncovered()), cylinders),
        ),
    )


def _without_a_unit() -> str:
    rules = (rule for _, _, rule in every_revision() if rule.is_directive)
    count = sum(map(len, unknown_serials(rules).values()))
    if not count:
        return ""
    are = "number of directives is" if count == 1 else "numbers of directives are"
    return f"{count_words(count)} listed serial {are} of no unit on record: see Limits."


def _uncovered() -> str:
    """The cylinders whose specification asks for a test that no limit has."""
    found = list(uncovered_in_all(today()).values())
    if not found:
        return ""
    more = f" And {count_words(len(found) - 3)} more." if len(found) > 3 else ""
    return f"{' '.join(found[:3])}{more}"


def _units() -> Step:
    units = _part("units", Unit, "equipment:unit_list")
    return Step(
        "Units",
        "Every serialised unit and lot, where it is, and its last works.",
        (units,),
        _lacking(
            (not units.is_there, "No unit is on record: bring the spreadsheet that lists them.")
        ),
    )


def _hours() -> Step:
    measures = _part("measures", Measure, "scheduling:enter_measures")
    readings = _part("readings", UtilisationReading, "scheduling:hours")
    fleet = Aircraft.objects.exclude(status=Aircraft.LEFT)
    unread = fleet.exclude(pk__in=UtilisationReading.objects.values("aircraft"))
    named = ", ".join(unread.order_by("registration").values_list("registration", flat=True)[:5])
    return Step(
        "Hours and cycles",
        "Totals of each aircraft as read: limits in hours become dates by them.",
        (measures, readings),
        _lacking(
            (
                not measures.is_there,
                "No measure is on record: enter FH and FC, flight hours and cycles.",
            ),
            (bool(named and measures.is_there), f"No reading yet of: {named}."),
        ),
    )


def _checks() -> Step:
    checks = _part("checks planned", Check.objects.filter(is_cancelled=False), "scheduling:checks")
    return Step(
        "Checks",
        "Planned ground times: by them each due item is told before, at or after a check.",
        (checks,),
        _lacking(
            (
                not checks.is_there,
                "No check is planned: every item is after the last planned check.",
            )
        ),
    )


def _people() -> Step:
    people = User.objects.filter(is_active=True).exclude(roles=[])
    count = people.count()
    page = _people_page()
    return Step(
        "People",
        "Who signs in, with which roles.",
        (Part("people with a role", count_words(count), page, count > 0),),
        _lacking((count < 2, "Only one person holds a role.")),
    )


def _changes() -> Step:
    """What a change is worked and signed by."""
    lists = _part("step lists", StepList, "equipment:step_lists")
    rules = _part("rules of signing", RuleSet, "scheduling:enter_signing")
    page = _people_page()
    granted = Authorisation.objects.filter(from_on__lte=today(), until_on__gte=today(), ended=None)
    lacking = kinds_without_list(today())
    more = f" and {count_words(len(lacking) - 5)} more" if len(lacking) > 5 else ""
    named = ", ".join(kind.name for kind in lacking[:5]) + more
    return Step(
        "Changes",
        "By which steps a unit is changed, what is signed, and who is authorised to sign.",
        (
            lists,
            _part("bottle charts", BottleChart, "equipment:bottle_charts"),
            rules,
            Part("authorisations good today", count_words(granted.count()), page, granted.exists()),
        ),
        _lacking(
            (bool(named), f"No step list is in force, so no change can be recorded, for: {named}."),
            (not rules.is_there, "No rules of signing are on record: no swap can be begun."),
            (not granted.exists(), "Nobody is authorised to sign or to release."),
        ),
    )


def _people_page() -> str:
    for name in ("fleet:people", "fleet:notices"):
        try:
            return reverse(name)
        except NoReverseMatch:
            continue
    return "/"
