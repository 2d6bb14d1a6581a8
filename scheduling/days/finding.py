"""What one field finds: aircraft by registration in any spelling, positions, units, people."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from django.db.models import F, Func, Q, QuerySet, Value
from django.db.models.functions import Upper
from django.urls import reverse

from equipment.common import scanned
from equipment.models import Unit
from equipment.stores.reads.scans import next_of
from equipment.units.reads import Asked
from equipment.units.reads import found as units_found
from fleet.house.desks import may
from fleet.models import Aircraft, AircraftPosition, User

MOST = 30
LONGEST = 200


@dataclass(frozen=True, slots=True)
class Hit:
    """One thing found: what it is, where it leads, and what can be done next with it, if anything."""

    words: str
    more: str
    href: str
    act: str = ""
    act_href: str = ""


@dataclass(frozen=True, slots=True)
class Finds:
    """Everything found, sort by sort. ``is_near``: the units are alike to what was typed, not equal."""

    aircraft: list[Hit] = field(default_factory=list)
    positions: list[Hit] = field(default_factory=list)
    units: list[Hit] = field(default_factory=list)
    people: list[Hit] = field(default_factory=list)
    is_near: bool = False
    has_more: bool = False

    @property
    def all(self) -> list[Hit]:
        return [*self.aircraft, *self.positions, *self.units, *self.people]

    @property
    def only(self) -> Hit | None:
        """The one thing found, where nothing else could be meant."""
        found = self.all
        return found[0] if len(found) == 1 and not self.is_near else None


def find(text: str, by: User, year: int) -> Finds:
    """Everything that a typed or scanned text may mean, for a person who may read it."""
    plain = text.replace("\x00", "").strip()[:LONGEST]
    if not plain:
        return Finds()
    people = _people(plain) if may(by, "manage_people") else []
    marked = scanned.units_of(plain, year)
    if len(marked) == 1:  # a mark, or a part and a serial number as they stand on record
        return Finds(units=[_unit_hit(marked[0], by)], people=people)
    asked = units_found(Asked(text=plain))
    keys = [each.id for each in asked.units[:MOST]]
    units = {unit.pk: unit for unit in Unit.objects.filter(pk__in=keys).select_related("place")}
    hits = [
        Hit(
            f"{each.part_number} S/N {each.serial_number}",
            f"{each.kind}, {each.where}",
            reverse("equipment:unit", args=[each.id]),
            *_next(units[each.id], by),
        )
        for each in asked.units[:MOST]
    ]
    return Finds(
        aircraft=_aircraft(plain),
        positions=_positions(plain),
        units=hits,
        people=people,
        is_near=asked.is_near,
        has_more=asked.is_more or len(asked.units) > MOST,
    )


def _next(unit: Unit, by: User) -> tuple[str, str]:
    """(words, address) of what this person does next with a unit; empty for nothing."""
    if may(by, "reserve_unit"):
        href, words = next_of(unit)
        return (words, href) if href else ("", "")
    if may(by, "open_swap") and unit.aircraft_id:
        return "Record a swap", f"{reverse('equipment:swap_start')}?unit={unit.pk}"
    return "", ""


def _unit_hit(unit: Unit, by: User) -> Hit:
    words = f"{unit.part_number.number} S/N {unit.serial_number}"
    return Hit(words, "", reverse("equipment:unit", args=[unit.pk]), *_next(unit, by))


def _bare(text: str) -> str:
    return re.sub(r"[^0-9A-Z]", "", text.upper())


def _aircraft(text: str) -> list[Hit]:
    """By registration without its hyphens and spaces; a part of it will do."""
    bare = _bare(text)
    if len(bare) < 2:
        return []
    found = _with_registration_like(bare).select_related("aircraft_type", "station")
    return [
        Hit(
            each.registration,
            f"{each.aircraft_type.name}, {each.station.name if each.station else 'no station'}",
            reverse("fleet:aircraft", args=[each.registration]),
        )
        for each in found.order_by("registration")[:MOST]
    ]


def _with_registration_like(bare: str) -> QuerySet[Aircraft]:
    return Aircraft.objects.alias(
        bare=Func(
            Upper(F("registration")),
            Value("[^0-9A-Z]"),
            Value(""),
            Value("g"),
            function="regexp_replace",
        )
    ).filter(bare__contains=bare)


def _positions(text: str) -> list[Hit]:
    """Positions where an aircraft and a position are named together."""
    words = text.split()
    if len(words) < 2:
        return []
    found: list[AircraftPosition] = scanned.positions_of(text)[:MOST]
    return [
        Hit(
            f"{each.aircraft.registration} {each.type_position.code}",
            each.type_position.name,
            f"{reverse('fleet:aircraft', args=[each.aircraft.registration])}#{each.type_position.code}",
        )
        for each in found
    ]


def _people(text: str) -> list[Hit]:
    found = User.objects.filter(
        Q(username__icontains=text) | Q(first_name__icontains=text) | Q(last_name__icontains=text)
    )
    return [
        Hit(each.shown_name, each.username, reverse("fleet:people_person", args=[each.pk]))
        for each in found.order_by("username")[:MOST]
    ]
