"""A unit is put into a bin of the store, or of the quarantine, that it is in."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from equipment.availability.acts.units import lock_unit, refuse_not_at
from equipment.common.said import unit_row
from equipment.keeping.record import record_asked
from equipment.ledger.facts import MovementFact, PlaceAt, Recorded, When
from equipment.models import Movement, Place
from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.answers import shown
from fleet.acts.fields import text
from fleet.acts.repeats import claim, what_was_done
from fleet.house.desks import ask
from fleet.house.texts import refuse_blank
from fleet.models import User


@transaction.atomic
def stow_unit(*, by: User, unit_id: int, bin_name: str, act_id: UUID, at: datetime) -> Recorded:
    """This will record in which bin a unit lies; what is in quarantine stays in a bin of quarantine.

    Refuses a unit that is in neither, and a bin without a name.
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
    to = PlaceAt(place.sort, station_id=place.station.pk, name=name)
    row = MovementFact(unit.pk, "stowed", to, When(at, "instant", place.station.time_zone))
    (recorded,) = record_asked(by=by, rows=[row], act_id=act_id, at=at, is_strict=True)
    return recorded


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
