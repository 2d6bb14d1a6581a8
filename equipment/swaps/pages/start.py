"""Where a swap begins: from a position, a unit, or whatever was scanned; a due item names its unit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any
from urllib.parse import urlencode

from django.urls import reverse

from equipment.common import scanned
from equipment.common.wording import PLACE_PARTS, unit_words
from equipment.ledger.facts import PlaceAt
from equipment.models import Place, Swap, Unit
from equipment.stores.ports import works_named
from equipment.swaps.reads.start import StartShown, start_of
from fleet.models import AircraftPosition, User
from fleet.screens.act_forms import SaidForm

from .units_meant import Offered

NAMES = ("place", "position", "unit", "due", "code", "why", "work", "on")


@dataclass(frozen=True, slots=True)
class Position:
    """A position to choose among several."""

    code: str
    name: str
    unit: str
    href: str


@dataclass(frozen=True, slots=True)
class Asked:
    """What was asked for: the position it means, or several, or why none."""

    query: Mapping[str, str]
    start: StartShown | None = None
    positions: tuple[Position, ...] = ()
    fault: str = ""

    @property
    def due_item(self) -> int | None:
        return _number(self.query.get("due", ""))

    @property
    def meant(self) -> dict[str, Any]:
        """What a work done in place says besides: its code, and which of several units there."""
        work = self.query.get("work", "")
        on = _number(self.query.get("on", ""))
        return {"sort": Swap.IN_PLACE, "work": work, "unit": on} if work else {}

    @property
    def work_name(self) -> str:
        """The name of a work done in place; empty of a change."""
        [name] = works_named([self.query.get("work", "")])
        return name


def _number(text: str) -> int | None:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 18 else None


def asked_of(sent: Mapping[str, str], on: date) -> Asked:
    """The position that a query means; a fault in a sentence if it means none."""
    query = {name: str(sent.get(name, ""))[:200].strip() for name in NAMES if sent.get(name)}
    if place := _number(query.get("place", "")):
        return _at(query, place, on)
    if position := _number(query.get("position", "")):
        return _at(query, PlaceAt("aircraft", aircraft_position_id=position), on)
    if unit := _number(query.get("unit", "")):
        found = Unit.objects.filter(pk=unit).select_related("place", "part_number").first()
        return _of_unit(query, found, on)
    return _of_code(query, on) if query.get("code") else Asked(query)


def _at(query: Mapping[str, str], place: int | PlaceAt, on: date) -> Asked:
    start = start_of(place, on, query.get("work", ""), _number(query.get("on", "")))
    return Asked(query, start) if start else Asked(query, fault="There is no such position.")


def _of_unit(query: Mapping[str, str], unit: Unit | None, on: date) -> Asked:
    if unit is None:
        return Asked(query, fault="There is no such unit.")
    place = unit.place
    if place is None or place.sort not in {Place.AIRCRAFT, Place.INSIDE}:
        words = f"{unit_words(unit)} is on no aircraft. Name the position where it is to go."
        return Asked(query, fault=words)
    return _at(query, place.pk, on)


def _of_code(query: Mapping[str, str], on: date) -> Asked:
    code = query["code"]
    positions = scanned.positions_of(code)
    if len(positions) == 1:
        return _at(query, PlaceAt("aircraft", aircraft_position_id=positions[0].pk), on)
    if positions:
        return Asked(query, positions=tuple(_positions(positions)))
    units = scanned.units_of(code, on.year)
    if len(units) == 1:
        return _of_unit(query, units[0], on)
    if units:
        several = "; ".join(unit_words(unit) for unit in units)
        return Asked(query, fault=f"Several units have this number: {several}. Give the P/N too.")
    fault = "Nothing on record has this code. Type the aircraft and the position instead."
    return Asked(query, fault=fault)


def _positions(found: list[AircraftPosition]) -> list[Position]:
    places = Place.objects.filter(aircraft_position__in=found).select_related(*PLACE_PARTS)
    held = {
        unit.place.aircraft_position_id: unit_words(unit)
        for unit in Unit.objects.filter(place__in=places, merged_into=None).select_related(
            "place", "part_number"
        )
        if unit.place
    }
    return [
        Position(
            f"{each.aircraft} {each.type_position.code}",
            each.type_position.name,
            held.get(each.pk, ""),
            f"{reverse('equipment:swap_start')}?{urlencode({'position': each.pk})}",
        )
        for each in found
    ]


def initial(asked: Asked, by: User) -> dict[str, Any]:
    """What the form says before anybody has: the due work, the aircraft's station, what is reserved."""
    start = asked.start
    if start is None:
        return {}
    reserved = next((each for each in start.candidates if each.is_reserved), None)
    return {
        "reason": asked.query.get("why", "") or asked.work_name,
        "station": start.station_id or by.home_station_id,
        "planned_on": reserved.unit_id if reserved else None,
    }


def context(asked: Asked, form: SaidForm) -> dict[str, Any]:
    chosen = str(form["planned_on"].value() or "")
    candidates = [
        Offered(
            each.unit_id, each.words, each.more, tuple(each.why_not), chosen == str(each.unit_id)
        )
        for each in (asked.start.candidates if asked.start else ())
    ]
    return {
        "start": asked.start,
        "work_name": asked.work_name,
        "positions": asked.positions,
        "fault": asked.fault,
        "code": asked.query.get("code", ""),
        "hidden": list(asked.query.items()),
        "form": form,
        "fields": [form["reason"], form["station"]],
        "candidates": candidates,
        "nothing_chosen": not any(each.is_chosen for each in candidates),
    }
