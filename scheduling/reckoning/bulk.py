"""Every due item reckoned, a cell of units at a time: safe to kill at any moment."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime

import structlog
from django.db import connection, transaction
from django.db.models import F, Max

from equipment.models import Unit
from scheduling.facts.batch import batch_of_units
from scheduling.facts.craft import AircraftFacts, craft_on
from scheduling.facts.due_table import table_of
from scheduling.facts.rules import Rules, rules_on
from scheduling.facts.units import UnitSelection, absorbed_units
from scheduling.models import RecomputeRun

from .before import keep_before
from .due_items import CELL_UNITS, own_cell, replace
from .recompute import ask_run, one_by_one_if_needed, replace_craft

log = structlog.get_logger(__name__)
_ONE_RUNNER = 7301545


@dataclass(frozen=True, slots=True)
class _Known:
    """What every cell of a run is reckoned with, read once."""

    as_of: date
    rules: Rules
    craft: AircraftFacts
    absorbed: tuple[tuple[int, int], ...]


def recompute_all(*, as_of: date, now: datetime, why: str = "asked for") -> RecomputeRun:
    """This will reckon and store every due item as of a day. The row of the run comes first.

    Each cell of units is locked, replaced and committed by itself: killed at any point, no cell is
    half done, the list holds for its former day, and :func:`finish_runs` goes on where it stopped.
    Another runner at work is waited for.
    """
    run = ask_run(why=why, as_of=as_of, now=now)
    with only_runner(wait=True):
        _finish(run, now)
    return run


def finish_runs(*, as_of: date, now: datetime) -> int:
    """This will finish the runs that were asked for and not finished; how many it finished.

    Nothing if another runner is at work. Of several over everything the latest asked stands for
    those before it. An unfinished run of a day gone by is done for today instead.
    """
    with only_runner(wait=False) as mine:
        if not mine:
            return 0
        waiting = RecomputeRun.objects.filter(finished_at=None).order_by("asked_at", "pk")
        finished = 0
        if everything := waiting.filter(unit_ids=None).last():
            if everything.as_of < as_of:
                everything.as_of, everything.next_unit_id = as_of, 0
                everything.started_at = None
            finished = _finish(everything, now)
        # After that: until then the stored items may be of a day gone by, and stay of one day.
        return finished + sum(_finish_listed(run, as_of, now) for run in waiting)


def _finish_listed(run: RecomputeRun, as_of: date, now: datetime) -> int:
    """This will recompute the units that a run lists; one over everything waits for its turn."""
    if run.unit_ids is None:
        return 0
    done = one_by_one_if_needed(run.unit_ids, as_of)
    rows = RecomputeRun.objects.filter(pk=run.pk)
    return rows.update(started_at=now, finished_at=now, items=done)


def _finish(run: RecomputeRun, now: datetime) -> int:
    """This will go on with a run to its end; how many runs are finished by it.

    Begun from the first cell it stands for every run that could be seen then: what was asked for in
    a transaction that ended later is not among them, and keeps its turn.
    """
    covered = [run.pk]
    if not run.next_unit_id:
        waiting = RecomputeRun.objects.filter(finished_at=None, unit_ids=None)
        covered = list(waiting.values_list("pk", flat=True))
        keep_before(run, now)
    run.started_at = run.started_at or now
    run.save(update_fields=["started_at", "as_of", "next_unit_id"])
    rules = rules_on(run.as_of)
    known = _Known(run.as_of, rules, craft_on(run.as_of, rules.measures), absorbed_units())
    last = Unit.objects.aggregate(last=Max("pk"))["last"] or 0
    for cell in range(run.next_unit_id // CELL_UNITS, last // CELL_UNITS + 1):
        _redo(cell, known, run)
    with transaction.atomic():
        written = replace_craft(rules, known.craft, run.as_of)
        RecomputeRun.objects.filter(pk=run.pk).update(items=F("items") + written)
        ended = RecomputeRun.objects.filter(pk__in=covered, finished_at=None)
        return ended.update(finished_at=now)


def _redo(cell: int, known: _Known, run: RecomputeRun) -> None:
    low, high = cell * CELL_UNITS, (cell + 1) * CELL_UNITS
    try:
        with transaction.atomic():
            own_cell(cell)
            which = UnitSelection(low=low, high=high, absorbed=known.absorbed)
            batch = batch_of_units(which, known.as_of, rules=known.rules, craft=known.craft)
            # Items of a unit lie together: their keys begin with it.
            where = "d.id >= %s::bigint << 22 AND d.id < %s::bigint << 22 AND d.unit_id IS NOT NULL"
            written = replace(table_of(batch), where, [low, high])
            _note(run, high, written)
    except (ArithmeticError, LookupError, TypeError, ValueError) as fault:
        # One unit's facts: the others of its cell are done without it, and it stays stale.
        log.error("cell of units not reckoned at once", cell=cell, reason=repr(fault))
        units = list(Unit.objects.filter(pk__gte=low, pk__lt=high).values_list("pk", flat=True))
        _note(run, high, one_by_one_if_needed(units, known.as_of))


def _note(run: RecomputeRun, next_unit_id: int, written: int) -> None:
    RecomputeRun.objects.filter(pk=run.pk).update(
        next_unit_id=next_unit_id, items=F("items") + written
    )


@contextmanager
def only_runner(*, wait: bool) -> Iterator[bool]:
    """This will let one bulk runner work at a time. The lock goes with the connection: a killed
    worker leaves none."""
    with connection.cursor() as cursor:
        if wait:
            cursor.execute("SELECT pg_advisory_lock(%s)", [_ONE_RUNNER])
            mine = True
        else:
            cursor.execute("SELECT pg_try_advisory_lock(%s)", [_ONE_RUNNER])
            mine = cursor.fetchone()[0]
    try:
        yield mine
    finally:
        if mine and connection.connection and not connection.connection.closed:
            with connection.cursor() as cursor:
                cursor.execute("SELECT pg_advisory_unlock(%s)", [_ONE_RUNNER])
