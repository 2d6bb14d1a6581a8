"""The names behind the keys of a batch of due items: a fixed number of queries for any batch."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any, NamedTuple

from django.db import connection
from django.db.models import OuterRef, Subquery

from equipment.ledger.nesting import AROUND_NOW
from equipment.models import Unit
from fleet.aircraft.planned import planned_checks
from fleet.models import Aircraft, AircraftPosition, AircraftStatus, Check, Measure, Station
from scheduling.facts.items import Item
from scheduling.facts.measures import other_codes
from scheduling.models import Clock, Limit, RecomputeRun

# The codes of the positions inside other units that a unit is in, the outermost first.
INSIDE = f"""{AROUND_NOW}
SELECT a.root, pp.code FROM around a
JOIN equipment_place p ON p.id = a.place_id JOIN equipment_partposition pp ON pp.id = p.part_position_id
ORDER BY a.root, a.depth DESC
"""
Row = dict[str, Any]
# The latest day from which an aircraft is somebody else's to fly, or has left: where it is to come, it is known.
LEAVES = AircraftStatus.objects.filter(
    aircraft=OuterRef("pk"), status__in=(Aircraft.LEASED_OUT, Aircraft.LEFT), replaced_by=None
).order_by("-from_on", "-pk")


class Planned(NamedTuple):
    """A check as the rows name it: of fifty aircraft there are hundreds."""

    aircraft_id: int
    pk: int
    name: str
    starts_on: date
    sort: str

    @property
    def is_whole(self) -> bool:
        """No mere overnight stop."""
        return self.sort == Check.CHECK


@dataclass(frozen=True, slots=True)
class Names:
    """Everything that a batch of items names, by key."""

    limits: dict[int, Row]
    clocks: dict[int, list[Clock]]
    measures: dict[str, str]
    other_measures: set[str]
    hours: set[str]
    units: dict[int, Row]
    aircraft: dict[int, Row]
    positions: dict[int, Row]
    stations: dict[int, str]
    checks: dict[int, list[Planned]]
    inside: dict[int, list[str]]
    open_run_from: int | None


def names_of(items: Iterable[Item], more_units: Iterable[int] = ()) -> Names:
    """The names of these items and of more units, in ten queries."""
    keys: dict[str, set[int]] = defaultdict(set)
    keys["unit_id"].update(more_units)
    for item in items:
        for name in ("limit_id", "unit_id", "line_unit_id", "aircraft_id", "position_id"):
            if (key := getattr(item, name)) is not None:
                keys["unit_id" if name == "line_unit_id" else name].add(key)
    measures = list(Measure.objects.order_by("pk"))
    return Names(
        limits=_by_id(_limits(keys["limit_id"])),
        clocks=_clocks(keys["limit_id"]),
        measures={measure.code: measure.name for measure in measures},
        other_measures=other_codes(measures),
        hours={measure.code for measure in measures if measure.unit == Measure.MINUTES},
        units=_by_id(_units(keys["unit_id"])),
        aircraft=_by_id(
            Aircraft.objects.filter(pk__in=keys["aircraft_id"])
            .annotate(
                leaves_on=Subquery(LEAVES.values("from_on")[:1]),
                leaves_as=Subquery(LEAVES.values("status")[:1]),
            )
            .values("id", "registration", "facts_stamp", "leaves_on", "leaves_as")
        ),
        positions=_by_id(
            AircraftPosition.objects.filter(pk__in=keys["position_id"]).values(
                "id", "type_position__code", "type_position__name"
            )
        ),
        stations=dict(Station.objects.values_list("pk", "code")),
        checks=_checks(keys["aircraft_id"]),
        inside=_inside(keys["unit_id"]),
        open_run_from=_open_run_from(),
    )


def _by_id(rows: Any) -> dict[int, Row]:
    return {row["id"]: row for row in rows}


def _limits(keys: set[int]) -> Iterable[Any]:
    return Limit.objects.filter(pk__in=keys).values(
        "id",
        "code",
        "revision",
        "from_on",
        "title",
        "document",
        "document_revision",
        "work__name",
        "programme__code",
        "programme__facts_stamp",
    )


def _units(keys: set[int]) -> Iterable[Any]:
    return Unit.objects.filter(pk__in=keys).values(
        "id",
        "serial_number",
        "part_number__number",
        "part_number__description",
        "part_number__maker__code",
        "facts_stamp",
    )


def _clocks(keys: set[int]) -> dict[int, list[Clock]]:
    found: dict[int, list[Clock]] = defaultdict(list)
    for clock in Clock.objects.filter(limit__in=keys).order_by("limit", "seq"):
        found[clock.limit_id].append(clock)
    return found


def _checks(keys: set[int]) -> dict[int, list[Planned]]:
    found: dict[int, list[Planned]] = defaultdict(list)
    rows = planned_checks().filter(aircraft__in=keys)
    for row in rows.order_by("aircraft", "starts_on", "pk").values_list(*Planned._fields):
        check = Planned._make(row)
        found[check.aircraft_id].append(check)
    return found


def _inside(keys: set[int]) -> dict[int, list[str]]:
    found: dict[int, list[str]] = defaultdict(list)
    with connection.cursor() as cursor:
        cursor.execute(INSIDE, {"units": list(keys)})
        for unit, code in cursor.fetchall():
            found[unit].append(code)
    return found


def _open_run_from() -> int | None:
    """From which unit on a run over everything still has to pass: those items are stale."""
    runs = RecomputeRun.objects.filter(finished_at=None, unit_ids=None)
    return runs.order_by("next_unit_id").values_list("next_unit_id", flat=True).first()
