"""Due items made right: of the units a record touches, of what is stale, of everything."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, datetime
from typing import Protocol

import structlog
from django.db import connection, transaction
from django.db.models import Max, Min

from equipment.models import Unit
from fleet.models import AircraftPosition
from scheduling.facts.batch import Batch, batch_of_craft, batch_of_units, units_listed
from scheduling.facts.craft import AircraftFacts, craft_on
from scheduling.facts.due_table import empty_table, table_of
from scheduling.facts.rules import Rules, rules_on
from scheduling.models import DueItem, RecomputeRun

from .due_items import replace, share_cells

log = structlog.get_logger(__name__)
#: More units than this are left to the job, so that no record waits for them.
MOST_AT_ONCE = 2000
STALE_AT_ONCE = 2000
#: A unit out of a list takes about seven times as long as one of a run over everything (50,000 units,
#: usual night: 0.63 ms against 0.09); with a margin.
LISTED_COSTS = 10

RAISE = """
UPDATE {0} SET facts_stamp = nextval('facts_stamp') WHERE id IN
(SELECT id FROM {0} WHERE id = ANY(%s) ORDER BY id FOR NO KEY UPDATE)
"""


def note_changed(
    *,
    unit_ids: Sequence[int] | None,
    aircraft_ids: Sequence[int] | None,
    as_of: date,
    now: datetime,
) -> bool:
    """This will make the due items of what a record touched right, inside its transaction.

    Of more units than ``MOST_AT_ONCE`` the job does it: a run over those units is asked for, as a
    row, or over everything where that is quicker. None means *everything*. If the arithmetic fails
    the record stands: the items keep their old stamps, so they are known as stale, and a run over
    them is asked for. Returns whether something is left to the job.
    """
    if unit_ids is None:
        ask_run(why="many facts changed", as_of=as_of, now=now)
        return True
    aircraft = sorted(set(aircraft_ids or []))
    touched = sorted({*unit_ids, *_stale_on(aircraft)})
    if len(touched) > MOST_AT_ONCE:
        if unit_ids:
            listed = unit_ids if _are_quicker_listed(len(unit_ids)) else None
            ask_run(why="many units changed", as_of=as_of, now=now, unit_ids=listed)
        return True  # what rests on the aircraft is found by its stamp
    if aircraft_ids is None or not (touched or aircraft):
        return aircraft_ids is None
    try:
        with transaction.atomic():
            rules = rules_on(as_of)
            recompute_units(touched, as_of, rules)
            recompute_craft(aircraft, as_of, rules)
    except Exception as fault:  # noqa: BLE001 (whatever the sum failed on, the record stands)
        log.error("due items not reckoned", units=len(touched), reason=repr(fault))
        ask_run(why="reckoning failed", as_of=as_of, now=now, unit_ids=touched)
        return True
    return False


def _are_quicker_listed(count: int) -> bool:
    """Whether so many units are reckoned sooner by themselves than with all others."""
    keys = Unit.objects.aggregate(first=Min("pk"), last=Max("pk"))  # a count would read them all
    return count * LISTED_COSTS <= (keys["last"] or 0) - (keys["first"] or 0) + 1


def recompute_units(unit_ids: Iterable[int], as_of: date, rules: Rules | None = None) -> int:
    """This will make the due items of these units right as of a day; returns how many it wrote.

    Inside the caller's transaction, all or none of them. Units on which a bulk job is at work are
    waited for.
    """
    ids = sorted(set(unit_ids))
    if not ids:
        return 0
    which = units_listed(ids)
    both = sorted({*ids, *(which.ids or ())})
    with transaction.atomic():
        share_cells(both)
        rules = rules or rules_on(as_of)
        # Where no limit is in force nothing falls due, whatever the facts: none of them are read.
        new = table_of(batch_of_units(which, as_of, rules=rules)) if rules.asks else empty_table()
        return replace(
            new, "d.unit_id = ANY(%s) AND d.id = ANY(ARRAY(" + _OF_UNITS + "))", [both, both]
        )


# By the range of keys of each unit: there is no index by unit, nor need of one.
_OF_UNITS = (
    "SELECT k.id FROM unnest(%s::bigint[]) AS n(unit), LATERAL (SELECT i.id FROM scheduling_dueitem i"
    " WHERE i.id >= n.unit << 22 AND i.id < (n.unit + 1) << 22) k"
)


def recompute_craft(aircraft_ids: Sequence[int], as_of: date, rules: Rules | None = None) -> int:
    """This will make right the items of these aircraft and their positions, and of all samples."""
    rules = rules or rules_on(as_of)
    subjects = {rule.limit.subject for rule in rules.every()} - {"unit"}
    if not subjects or (not aircraft_ids and "population" not in subjects):
        return 0
    with transaction.atomic():
        return replace_craft(rules, craft_on(as_of, rules.measures, aircraft_ids), as_of)


def replace_craft(rules: Rules, craft: AircraftFacts, as_of: date) -> int:
    """This will make right the items that are of no unit, of these aircraft and of all samples."""
    batch: Batch = batch_of_craft(as_of, rules=rules, craft=craft)
    where = "d.unit_id IS NULL AND (d.aircraft_id IS NULL OR d.aircraft_id = ANY(%s))"
    return replace(table_of(batch), where, [craft.ids.tolist()])


def ask_run(
    *, why: str, as_of: date, now: datetime, unit_ids: Sequence[int] | None = None
) -> RecomputeRun:
    """This will ask for a reckoning by the job: a row, which no broker can lose."""
    listed = None if unit_ids is None else list(unit_ids)
    return RecomputeRun.objects.create(why=why, as_of=as_of, asked_at=now, unit_ids=listed)


def recompute_stale(as_of: date, most: int = STALE_AT_ONCE) -> int:
    """This will make right a bounded batch of stale items; returns how many units and aircraft it took.

    Each batch is one transaction. A unit whose reckoning fails is left stale and logged, so that it
    does not hold up the others.
    """
    stale = DueItem.objects.stale()
    units = stale.filter(unit__isnull=False).values_list("unit_id", flat=True)
    found = list(units.distinct().order_by()[:most])
    done = one_by_one_if_needed(found, as_of)
    others = stale.filter(unit=None)
    aircraft = set(others.values_list("aircraft_id", flat=True).distinct().order_by()[:most])
    if aircraft:  # also where no rule about them is left: then their items go
        rules, named = rules_on(as_of), sorted(key for key in aircraft if key is not None)
        with transaction.atomic():
            replace_craft(rules, craft_on(as_of, rules.measures, named), as_of)
    return done + len(aircraft)


def one_by_one_if_needed(unit_ids: Sequence[int], as_of: date) -> int:
    """This will recompute units in one transaction, or in halves where that fails; the number done."""
    if not unit_ids:
        return 0
    try:
        with transaction.atomic():
            recompute_units(unit_ids, as_of)
    except Exception as fault:  # noqa: BLE001 (one unit's fault must not hold up the others)
        if len(unit_ids) == 1:
            log.error("due items not reckoned", unit=unit_ids[0], reason=repr(fault))
            return 0
        half = len(unit_ids) // 2
        return one_by_one_if_needed(unit_ids[:half], as_of) + one_by_one_if_needed(
            unit_ids[half:], as_of
        )
    return len(unit_ids)


def raise_unit_stamps(unit_ids: Sequence[int]) -> None:
    """This will mark facts of these units as changed, in the order of their keys: the part of the
    act that changed them. (Stamps of aircraft and programmes are raised by the database.)"""
    if unit_ids:
        with connection.cursor() as cursor:
            cursor.execute(RAISE.format("equipment_unit"), [list(unit_ids)])


class OnSubject(Protocol):
    """What is recorded of one aircraft or one position (or of neither)."""

    @property
    def aircraft_id(self) -> int | None: ...
    @property
    def position_id(self) -> int | None: ...


def aircraft_of(rows: Sequence[OnSubject]) -> list[int]:
    """The aircraft that these are about, itself or a position of it."""
    named = {row.aircraft_id for row in rows if row.aircraft_id is not None}
    positions = {row.position_id for row in rows if row.position_id is not None}
    if positions:
        found = AircraftPosition.objects.filter(pk__in=positions)
        named.update(found.values_list("aircraft_id", flat=True))
    return sorted(named)


def _stale_on(aircraft_ids: Sequence[int]) -> list[int]:
    """Units whose items rest on facts of these aircraft that have changed since. Bounded."""
    if not aircraft_ids:
        return []
    items = DueItem.objects.stale().filter(aircraft__in=aircraft_ids, unit__isnull=False)
    return list(items.values_list("unit_id", flat=True).distinct().order_by()[: MOST_AT_ONCE + 1])
