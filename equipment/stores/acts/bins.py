"""A unit is put into a bin of the store, or of the quarantine, that it is in."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from equipment.availability.acts.units import lock_unit, refuse_not_at
from equipment.common.said import station_coded, unit_row
from equipment.common.wording import unit_words
from equipment.keeping.record import record_asked
from equipment.ledger.facts import MovementFact, PlaceAt, Recorded, When
from equipment.models import BinUse, Movement, Place, Unit
from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.answers import shown
from fleet.acts.fields import Heading, codes, text
from fleet.acts.repeats import claim, done_before, what_was_done
from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.house.texts import refuse_blank
from fleet.models import Kind, Station, User


@transaction.atomic
def stow_unit(*, by: User, unit_id: int, bin_name: str, act_id: UUID, at: datetime) -> Recorded:
    """This will record in which bin a unit lies; what is in quarantine stays in a bin of quarantine.

    Refuses a unit that is in neither, a bin without a name, and one that is for other kinds.
    """
    ask(by, "stow_unit")
    told, rows = {"unit_id": unit_id, "bin": bin_name}, Movement.objects.filter(act_id=act_id)
    is_new = claim(act_id, "stow_unit", told, by=by, at=at, earlier=[rows])
    unit = lock_unit(unit_id)
    name = refuse_blank(bin_name, "Name the bin.", "bin", 80)
    if not is_new:
        done = what_was_done(rows.filter(sort="stowed", to_place__name=name))
        return Recorded(done.pk, unit.pk, done.is_conforming, is_new=False)
    place = refuse_not_at(unit, "unit_not_in_store", Place.STORE, Place.QUARANTINE)
    assert place.station is not None
    refuse_bin(unit, place.station, name)
    to = PlaceAt(place.sort, station_id=place.station.pk, name=name)
    row = MovementFact(unit.pk, "stowed", to, When(at, "instant", place.station.time_zone))
    (recorded,) = record_asked(by=by, rows=[row], act_id=act_id, at=at, is_strict=True)
    return recorded


@transaction.atomic
def say_bin(*, by: User, use: BinSaid, act_id: UUID, at: datetime) -> BinUse:
    """This will say which kinds a bin of a station may hold; none: any. What lies there already stays. Refuses a bin
    without a name, an unknown station and an unknown kind."""
    ask(by, "stow_unit")
    rows = BinUse.objects.filter(act_id=act_id)
    if done := done_before(act_id, "say_bin", {"use": use}, rows, by=by, at=at):
        return done
    if not Station.objects.filter(pk=use.station_id).exists():
        raise Refused("unknown_station", "There is no such station: choose one.", "station")
    known = {code.upper(): code for code in Kind.objects.values_list("code", flat=True)}
    if unknown := [code for code in use.kinds if code.upper() not in known]:
        words = f"There is no kind of equipment {unknown[0][:24]}: give one that is on record."
        raise Refused("unknown_kind", words, "kinds")
    return BinUse.objects.create(
        act_id=act_id,
        station_id=use.station_id,
        name=refuse_blank(use.bin_name, "Name the bin.", "bin", 80),
        kinds=sorted({known[code.upper()] for code in use.kinds}),
        recorded_at=at,
        recorded_by=by,
    )


def refuse_bin(unit: Unit, station: Station, name: str) -> None:
    """This will refuse a bin that is for other kinds than the unit's."""
    said = BinUse.objects.filter(station=station, name__iexact=name.strip()).order_by("-pk").first()
    kind = unit.part_number.kind
    if not name.strip() or said is None or not said.kinds or kind.code in said.kinds:
        return
    names = Kind.objects.filter(code__in=said.kinds).order_by("name").values_list("name", flat=True)
    words = f"Bin {said.name} is for {', '.join(names)}, and {unit_words(unit)} is of kind {kind.name}: choose another bin."
    raise Refused("bin_for_another_kind", words, "bin")


def kinds_to_hold() -> list[tuple[str, str]]:
    """The kinds that a bin may be for."""
    return list(Kind.objects.order_by("name").values_list("code", "name"))


@dataclass(frozen=True, slots=True)
class BinSaid:
    """Which kinds a bin of a station may hold; none: any."""

    station_id: int = station_coded(
        help="A station's code.", heading=Heading("Station", "A station's code.")
    )
    bin_name: str = text("Bin", 80, name="bin", heading=Heading("Bin", "Its name."))
    kinds: tuple[str, ...] = codes(
        "Kinds that it may hold",
        24,
        choices=kinds_to_hold,
        heading=Heading("May hold", "Codes of kinds, set apart by semicolons; blank: any."),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class BinUseShown:
    id: int = shown("pk")
    bin: str = shown("name")
    kinds: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Stowed:
    """In which bin a unit lies."""

    unit_id: int = unit_row()
    bin_name: str = text("Bin", 80, name="bin")


@dataclass(frozen=True, slots=True, kw_only=True)
class BinShown:
    unit: int = shown("unit_id")
    movement: int = shown("movement_id")
    is_conforming: bool


# --- declared ---------------------------------------------------------------------------------

STOW_UNIT = Act(
    name="stow_unit",
    does=stow_unit,
    said=Stowed,
    tag="Stores",
    summary="Put a unit into a bin",
    description="Records in which bin of its store, or of its quarantine, a unit lies.",
    address="stores/bins",
    example={"act_id": EXAMPLE_ID, "unit": 812, "bin": "R1-04"},
    shows=BinShown,
    answer={"unit": 812, "movement": 9020, "is_conforming": True},
)
SAY_BIN = Act(
    name="say_bin",
    does=say_bin,
    said=BinSaid,
    as_="use",
    who="stow_unit",
    tag="Stores",
    summary="Say what a bin is for",
    description="Says which kinds of equipment a bin of a station may hold; none: any. What is put there later is held to it.",
    address="stores/bin-uses",
    example={"act_id": EXAMPLE_ID, "station": "LYD", "bin": "R1-04", "kinds": []},
    shows=BinUseShown,
    answer={"id": 3, "bin": "R1-04", "kinds": []},
)
