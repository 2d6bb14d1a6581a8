"""What each clock of many due items allows, has used and has left: reckoned by the engine as of a day."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from scheduling.due.lists.explained import batches_of
from scheduling.engine.basis.clockwork import ClockResult
from scheduling.engine.basis.columns import UNKNOWN
from scheduling.engine.basis.limits import Clock
from scheduling.engine.basis.months import day_of
from scheduling.engine.basis.starts import subjects_of
from scheduling.engine.clocks.due import clock_results, groups
from scheduling.engine.telling.flags import missing_words
from scheduling.engine.telling.wording import date_of, quantity, rule_of
from scheduling.engine.totals.subjects import Reckoner
from scheduling.facts.batch import Batch
from scheduling.facts.copying import Ints
from scheduling.facts.due_table import keys_of


@dataclass(frozen=True, slots=True)
class ClockStands:
    """One clock of one item. ``used`` and ``left`` are in days, minutes or a count, by ``measure`` and
    ``is_hours``; None where a fact is missing (``missing``). ``rule``: the amounts and from what they count;
    ``allowed``: the amount that this unit has; ``runs``: it has begun."""

    seq: int
    rule: str
    allowed: str
    measure: str
    is_hours: bool
    runs: bool
    start_on: date | None
    used: int | None
    left: int | None
    last_on: date | None
    missing: tuple[str, ...]


def clocks_of(item_ids: Sequence[int], as_of: date) -> dict[int, list[ClockStands]]:
    """The clocks of these items, in the order of their limit; a fixed number of questions."""
    wanted = np.array(sorted(item_ids), np.int64)
    found: dict[int, list[ClockStands]] = {}
    for batch in batches_of(item_ids, as_of):
        for part in batch.parts():
            for key, clock in _of_part(part, wanted):
                found.setdefault(key, []).append(clock)
    return found


def _of_part(batch: Batch, wanted: Ints) -> Iterator[tuple[int, ClockStands]]:
    keys = keys_of(batch)
    day = day_of(batch.as_of)
    reckoner = Reckoner(batch.facts, day)
    for limit, span in groups(batch.rules.limits, batch.facts):
        rows = np.flatnonzero(np.isin(keys[span], wanted)) + span.start
        if not len(rows):
            continue
        subjects = subjects_of(limit, batch.facts, batch.facts.items.take(rows), day)
        results = clock_results(subjects, reckoner)
        for at, row in enumerate(rows.tolist()):
            for clock, result in zip(limit.clocks, results, strict=True):
                yield int(keys[row]), _stands(batch, clock, result, at)


def _stands(batch: Batch, clock: Clock, result: ClockResult, at: int) -> ClockStands:
    runs, amount = bool(result.runs[at]), int(result.amount[at])
    used, left = _of_calendar(batch, result, at) if clock.is_calendar else _of_measure(result, at)
    missing = missing_words(int(result.missing[at]))
    measure, is_hours = "days", False
    if not clock.is_calendar:
        one = batch.facts.measures[batch.facts.measure_index(clock.measure)]
        measure, is_hours = one.name, one.is_hours
    return ClockStands(
        seq=clock.seq,
        rule=rule_of(clock, batch.facts),
        allowed=quantity(clock, amount, batch.facts) if runs and amount != UNKNOWN else "",
        measure=measure,
        is_hours=is_hours,
        runs=runs,
        start_on=date_of(result.start_on[at]),
        used=used if runs else None,
        left=left if runs and not missing else None,
        last_on=date_of(result.due_on[at]) if runs else None,
        missing=tuple(missing) if runs else (),
    )


def _of_calendar(batch: Batch, result: ClockResult, at: int) -> tuple[int | None, int | None]:
    start, due = date_of(result.start_on[at]), date_of(result.due_on[at])
    used = (batch.as_of - start).days - int(result.excluded[at]) if start else None
    return used, (due - batch.as_of).days if due else None


def _of_measure(result: ClockResult, at: int) -> tuple[int | None, int | None]:
    start, total, left = (
        int(column[at]) for column in (result.start_total, result.total, result.left)
    )
    used = None if UNKNOWN in (start, total) else total - start
    return used, None if left == UNKNOWN else left
