"""What is inside a unit that came as a whole: the light of a slide, read off its plate, brought on record."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID, uuid5

from django.db import transaction

from equipment.availability.acts.units import lock_unit
from equipment.common.said import unit_row
from equipment.common.wording import PLACE_PARTS, place_words, unit_words
from equipment.keeping.record import record_asked
from equipment.ledger.facts import MovementFact, PlaceAt, UnitFact, When
from equipment.models import Movement, PartPosition, Place, ShopOrder, Unit
from equipment.units.acts.units import enter_units
from fleet.acts.act import Act
from fleet.acts.fields import number, stamp, text, yes_no
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.models import Station, User

from .facts import ReceiptLine, standard_text, stated_life
from .lines import Meant, resolve_line

CAME_INSIDE = "It came inside {}."


@dataclass(frozen=True, slots=True)
class FoundInside:
    """What the plate of a unit inside another says. ``position_id`` is that of the outer unit's part;
    ``is_confirmed`` as of a :class:`ReceiptLine`; ``is_replaced``: a shop put it there in place of the
    one on record, and scrapped that."""

    unit_id: int = unit_row()
    position_id: int = number("Where inside", least=1, name="position")
    part_number: str = text("Part number on its plate", 40)
    serial_number: str = text("Serial number on its plate", 40)
    manufactured_on: date | None = stamp("Manufactured on", "manufactured_precision", default=None)
    manufactured_precision: str = "day"
    stated_life_months: int | None = stated_life()
    standard: str = standard_text()
    maker: str = text("Maker, if two make this part number", 80, default="")
    is_confirmed: bool = yes_no("I have looked at the plate again: it is another unit.")
    is_replaced: bool = yes_no(
        "The shop put it there in place of the one on record, which it scrapped."
    )


@transaction.atomic
def note_inside(*, by: User, found: FoundInside, act_id: UUID, at: datetime) -> Unit:
    """This will bring on record what is inside a unit: received with it, and fitted at its position there.

    The outer unit's certificate covers it as one assembly. The same act again gives the same unit.
    Refuses a position that the outer unit's part has not, a number that cannot be read or looks like
    another's, a unit that the records have somewhere else, and what the ledger refuses of any
    fitting: a part that does not fit there, a position that is taken.
    """
    ask(by, "receive_unit")
    rows = Movement.objects.filter(act_id=uuid5(act_id, "inside"))
    if done := done_before(act_id, "note_inside", {"found": found}, rows, by=by, at=at):
        return Unit.objects.get(pk=done.unit.merged_into_id or done.unit_id)
    outer = lock_unit(found.unit_id)
    station = _station(outer)
    position = _position(outer, found.position_id)
    line = ReceiptLine(
        part_number=found.part_number,
        serial_number=found.serial_number,
        maker=found.maker,
        manufactured_on=found.manufactured_on,
        manufactured_precision=found.manufactured_precision,
        stated_life_months=found.stated_life_months,
        standard=found.standard,
        is_confirmed=found.is_confirmed,
    )
    each = resolve_line(line, on=at.date())
    inner = lock_unit(each.unit.pk if each.unit else _entered(by, each, at))
    when = When(at, "instant", station.time_zone)
    document = CAME_INSIDE.format(unit_words(outer))[:80]
    if found.is_replaced:
        _scrap_old(by, outer, position, when, act_id=act_id, at=at)
    if _is_new_here(inner, each):
        to = PlaceAt(Place.STORE, station_id=station.pk)
        fact = MovementFact(inner.pk, "received", to, when, document=document)
        record_asked(by=by, rows=[fact], act_id=uuid5(act_id, "received"), at=at, is_strict=True)
    there = PlaceAt(Place.INSIDE, parent_unit_id=outer.pk, part_position_id=position.pk)
    fact = MovementFact(inner.pk, "installed", there, when, document=document)
    record_asked(by=by, rows=[fact], act_id=uuid5(act_id, "inside"), at=at, is_strict=True)
    return Unit.objects.get(pk=inner.pk)


def _station(outer: Unit) -> Station:
    """Where the outer unit is, in a store or on an aircraft of that station."""
    place = outer.place
    aircraft = place.aircraft_position.aircraft if place and place.aircraft_position else None
    station = place.station if place and place.sort in (Place.STORE, Place.QUARANTINE) else None
    found = station or (aircraft.station if aircraft else None)
    if found is None:
        words = f"{unit_words(outer)} is not here to look into: {place_words(place)}."
        raise Refused("not_in_stock", words, "unit")
    return found


def _position(outer: Unit, position_id: int) -> PartPosition:
    found = PartPosition.objects.filter(pk=position_id, part_number=outer.part_number_id).first()
    if found is None:
        words = f"{unit_words(outer)} has no such position inside: choose one of its own."
        raise Refused("unknown_position", words, "position")
    return found


def _scrap_old(
    by: User, outer: Unit, position: PartPosition, when: When, *, act_id: UUID, at: datetime
) -> None:
    """The one on record there came off at the shop that had the outer unit last, and was scrapped there."""
    held = Unit.objects.inside(outer).filter(place__part_position__code=position.code)
    if len(old := list(held[:2])) != 1:
        words = f"Not one unit is on record at {position.code} of {unit_words(outer)}: nothing was replaced."
        raise Refused("nothing_replaced", words, "is_replaced")
    order = ShopOrder.objects.filter(unit=outer).order_by("-pk").first()
    shop = PlaceAt(Place.SHOP, name=order.shop if order else "the shop")
    steps = (("removed", shop), ("scrapped", PlaceAt(Place.GONE, name="scrapped")))
    for sort, to in steps:
        fact = MovementFact(old[0].pk, sort, to, when, reason="Replaced in the shop.")
        record_asked(by=by, rows=[fact], act_id=uuid5(act_id, sort), at=at, is_strict=True)


def _entered(by: User, each: Meant, at: datetime) -> int:
    fact = UnitFact(
        original_part_id=each.part.pk,
        serial_number=each.line.serial_number,
        manufactured_on=each.line.manufactured_on,
        manufactured_precision=each.line.manufactured_precision,
        stated_life_months=each.line.stated_life_months,
        standard_id=each.standard_id,
    )
    return enter_units(by=by, rows=[fact], at=at)[0].id


def _is_new_here(inner: Unit, each: Meant) -> bool:
    """Whether it comes to us with the outer unit; refuses one that the records have somewhere else."""
    parts = (f"place__{part}" for part in PLACE_PARTS)
    place = Unit.objects.select_related(*parts).get(pk=inner.pk).place
    if place is None or place.sort in (Place.PARTY, Place.GONE):
        return True
    if place.sort == Place.STORE:
        return False
    words = (
        f"By the records {each.words} is elsewhere: {place_words(place)}. Look at the plate again, or have"
        " the records put right first."
    )
    raise Refused("unit_elsewhere", words, "serial_number")


# --- declared ---------------------------------------------------------------------------------

NOTE_INSIDE = Act(
    name="note_inside",
    does=note_inside,
    said=FoundInside,
    as_="found",
    who="receive_unit",
    tag="Stores",
    summary="Note what is inside a unit",
)
