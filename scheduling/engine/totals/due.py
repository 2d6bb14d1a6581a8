"""What an item is due at, has now and has left: in flight hours, in flight cycles and in what else
is counted."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from scheduling.engine.basis.clockwork import ClockResult
from scheduling.engine.basis.columns import UNKNOWN, Bools, Facts, Ints
from scheduling.engine.basis.limits import Clock
from scheduling.engine.basis.starts import Subjects


@dataclass(frozen=True, slots=True)
class _Held:
    """What one column tells: of which measure, of which clock."""

    due_at: Ints
    total: Ints
    left: Ints
    measure: Ints
    seq: Ints


def totals_told(
    subjects: Subjects, results: list[ClockResult], decided_by: Ints, lacks: Bools
) -> dict[str, Any]:
    """Due at, total now and left. Of several clocks in one column: the one that decides, else the
    nearer of the first one's measure."""
    held: dict[str, _Held] = {}
    for clock, one in zip(subjects.limit.clocks, results, strict=True):
        if clock.is_calendar:
            continue
        name = column_of(subjects.facts, clock)
        new = _of_clock(subjects, clock, one, lacks)
        old = held.get(name)
        is_last = subjects.limit.when == "last"
        held[name] = new if old is None else _nearer(old, new, decided_by, is_last)
    answer: dict[str, Any] = {}
    for name, told in held.items():
        answer |= {f"due_at_{name}": told.due_at, f"total_{name}": told.total}
        answer[f"left_{name}"] = told.left
    return answer | ({"other_measure": held["other"].measure} if "other" in held else {})


def _of_clock(subjects: Subjects, clock: Clock, one: ClockResult, lacks: Bools) -> _Held:
    says = one.runs & (one.missing == 0) & ~lacks
    return _Held(
        due_at=np.where(says, one.due_at, UNKNOWN),
        total=one.total,
        left=np.where(says, one.left, UNKNOWN),
        measure=np.full(len(says), subjects.facts.measure_index(clock.measure)),
        seq=np.full(len(says), clock.seq),
    )


def _nearer(old: _Held, new: _Held, decided_by: Ints, is_last: bool) -> _Held:
    """Row by row one of two: what is left of different measures cannot be compared."""
    less = new.left > old.left if is_last else new.left < old.left
    instead = (new.left != UNKNOWN) & (less | (old.left == UNKNOWN))
    of_same = (new.measure == old.measure) & instead & (decided_by != old.seq)
    takes = of_same | (decided_by == new.seq)
    return _Held(
        *(
            np.where(takes, getattr(new, name), getattr(old, name))
            for name in _Held.__dataclass_fields__
        )
    )


def column_of(facts: Facts, clock: Clock) -> str:
    """Which columns a clock's totals are in: minutes or cycles flown by the aircraft, or other."""
    measure = facts.measures[facts.measure_index(clock.measure)]
    if measure.is_further or not measure.of_aircraft:
        return "other"
    return "minutes" if measure.is_hours else "cycles"
