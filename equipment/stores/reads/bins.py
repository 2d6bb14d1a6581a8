"""The bins of the stores: how much lies in each, and which kinds it may hold."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from django.db.models import Count

from equipment.models import BinUse, Place, Unit
from fleet.models import Kind

Key = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Bin:
    """One bin: ``units`` lie in its store, ``waiting`` in the quarantine's of this name; ``kinds`` are the names of those
    that it may hold (none: any)."""

    station: str
    name: str
    units: int = 0
    waiting: int = 0
    kinds: tuple[str, ...] = ()


def bins(station: str = "") -> list[Bin]:
    """Every bin in which something lies or of which it was said what it is for, by station and name. Three questions."""
    found: dict[Key, Bin] = {}
    rows = Unit.objects.filter(
        merged_into=None, place__sort__in=(Place.STORE, Place.QUARANTINE)
    ).exclude(place__name="")
    if station:
        rows = rows.filter(place__station__code=station)
    columns = ("place__station__code", "place__name", "place__sort")
    for code, name, sort, count in rows.values_list(*columns).annotate(Count("pk")):
        bin_ = _of(found, code, name)
        more = (
            {"units": bin_.units + count}
            if sort == Place.STORE
            else {"waiting": bin_.waiting + count}
        )
        found[_key(code, name)] = replace(bin_, **more)
    for use in _uses(station):
        bin_ = _of(found, use.station.code, use.name)
        found[_key(use.station.code, use.name)] = replace(bin_, kinds=tuple(use.kinds))
    return _named(sorted(found.values(), key=lambda each: (each.station, each.name.casefold())))


def _key(station: str, name: str) -> Key:
    return station, name.strip().casefold()


def _of(found: dict[Key, Bin], station: str, name: str) -> Bin:
    return found.setdefault(_key(station, name), Bin(station, name))


def _uses(station: str) -> Iterable[BinUse]:
    """The latest word about each bin."""
    rows = BinUse.objects.select_related("station").order_by("pk")
    if station:
        rows = rows.filter(station__code=station)
    return {_key(use.station.code, use.name): use for use in rows}.values()


def _named(found: list[Bin]) -> list[Bin]:
    names = dict(Kind.objects.values_list("code", "name"))
    return [
        replace(each, kinds=tuple(sorted(names.get(code, code) for code in each.kinds)))
        for each in found
    ]
