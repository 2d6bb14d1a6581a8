"""Whose record it was: the latest of the sort that a cause names, since the list was kept."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Model, Q

from equipment.models import Movement, UnitTag
from fleet.models import CheckRecord, UtilisationReading
from scheduling.due.lists.rows import DueRow
from scheduling.models import Extension, Limit, WorkDone

from ..compared import Cause
from .differing import Pair


@dataclass(frozen=True, slots=True)
class About:
    """What an item is about: keys of what a record could name."""

    units: frozenset[int] = frozenset()
    aircraft: frozenset[int] = frozenset()
    limits: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class Whose:
    """Who recorded it (empty: a load, or before people were noted), and when."""

    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class _Source:
    """A table of records, and its columns that name a unit, an aircraft or a limit."""

    model: type[Model]
    columns: Mapping[str, str]


OF_WORK = _Source(WorkDone, {"units": "unit_id", "aircraft": "aircraft_id"})
MOVED = _Source(Movement, {"units": "unit_id"})
READ = _Source(UtilisationReading, {"aircraft": "aircraft_id"})
SOURCES: dict[str, tuple[_Source, ...]] = {
    "work": (OF_WORK,),
    "movement": (MOVED,),
    "extension": (_Source(Extension, {"units": "unit_id", "aircraft": "aircraft_id"}),),
    "tag": (_Source(UnitTag, {"units": "unit_id"}),),
    "use": (READ,),
    "checks": (_Source(CheckRecord, {"aircraft": "aircraft_id"}),),
    "limit": (_Source(Limit, {"limits": "pk"}),),
    "clock": (OF_WORK, READ),
    "facts": (OF_WORK, MOVED, READ),
}


def about(rows: Iterable[DueRow | None], limit_ids: Iterable[int]) -> About:
    """What the rows of an item, before and now, are about."""
    known = [row for row in rows if row is not None]
    units = {key for row in known for key in (row.unit_id, row.line_unit_id) if key}
    # A record of an aircraft is about what is the aircraft's own, or uses what it flies.
    aircraft = {row.aircraft_id for row in known if row.aircraft_id}
    return About(frozenset(units), frozenset(aircraft), frozenset(limit_ids))


def whose(causes: Mapping[Pair, tuple[Cause, About]], since: datetime) -> dict[Pair, Whose]:
    """The record behind each of these changes, as far as there is one. One question for each sort of record."""
    found: dict[Pair, Whose] = {}
    by_source: dict[type[Model], tuple[_Source, list[Pair]]] = {}
    for key, (cause, _) in causes.items():
        for source in SOURCES.get(cause.sort, ()):
            by_source.setdefault(source.model, (source, []))[1].append(key)
    for source, keys in by_source.values():
        latest = _latest(source, [causes[key][1] for key in keys], since)
        for key in keys:
            records = [
                latest[name, one]
                for name in source.columns
                for one in getattr(causes[key][1], name)
                if (name, one) in latest
            ]
            newest = max([*records, *([found[key]] if key in found else [])], key=_at, default=None)
            if newest is not None:
                found[key] = newest
    return found


def _at(one: Whose) -> datetime:
    return one.at


def _latest(source: _Source, asked: list[About], since: datetime) -> dict[tuple[str, int], Whose]:
    """The latest record of each of these, by what it names."""
    named = Q()
    for name, column in source.columns.items():
        named |= Q(**{f"{column}__in": set().union(*(getattr(one, name) for one in asked))})
    rows = source.model._default_manager.filter(named, recorded_at__gt=since)
    found: dict[tuple[str, int], Whose] = {}
    for row in rows.select_related("recorded_by").order_by("recorded_at", "pk"):
        person = getattr(row, "recorded_by")  # noqa: B009 - each of these tables has it
        told = Whose(person.shown_name if person else "", getattr(row, "recorded_at"))  # noqa: B009
        for name, column in source.columns.items():
            if (key := getattr(row, column)) is not None:
                found[name, key] = told
    return found
