"""Fitted cylinders that no limit covers, as rows of the due list: what is missing is the limit.

They ground nothing, as what may stay until it is emptied does not; made when the list is read, like open items.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date

import numpy as np

from scheduling.engine.basis.bands import Band
from scheduling.facts.due_table import COLUMNS, NULL, Table
from scheduling.facts.items import NEVER, UNIT, item_id, subject_of

from .lists.rows import ClockLine, DueRow, Explanation
from .open_items.listed import NO_LIMIT
from .uncovered import Fitted

WORK, LACKS = "Periodic test", "a limit that covers its periodic test"
Bare = tuple[Fitted, str]


def key_of(bare: Bare) -> int:
    """The key of its row: no limit of a programme has that key."""
    return item_id(bare[0].unit_id, NO_LIMIT, UNIT)


def is_without_limit(item: int) -> bool:
    """Whether a due item's key is that of a cylinder without a limit."""
    return subject_of(item)[1:] == (NO_LIMIT, UNIT)


def table_of(found: Sequence[Bare], as_of: date) -> Table:
    """The rows of the due list's table, in the order of their keys."""
    rows = sorted((_row(bare, as_of) for bare in found), key=lambda row: row["id"])
    return {
        column.name: np.array(
            [row.get(column.name, 0 if column.is_flag else NULL) for row in rows], np.int64
        )
        for column in COLUMNS
    }


def _row(bare: Bare, as_of: date) -> dict[str, int]:
    fitted, _ = bare
    keys = {name: value for name, value in fitted._asdict().items() if name != "document"}
    return {
        **keys,
        "id": key_of(bare),
        "limit_id": NO_LIMIT,
        "as_of": _day(as_of),
        "band": int(Band.NO_BASIS),
        "sort_on": _day(NEVER),
        "missing": 0,
        "flags": 0,
        "unit_stamp": 0,
        "aircraft_stamp": 0,
        "programme_stamp": 0,
    }


def _day(on: date) -> int:
    return int(np.datetime64(on, "D").astype(np.int64))


def with_words(rows: Sequence[DueRow], found: Mapping[int, Bare]) -> list[DueRow]:
    """The same rows, those of such cylinders (by their keys) with what they lack; the rest is explained."""
    return [
        replace(row, work=WORK, missing=(LACKS,), is_stale=False) if row.id in found else row
        for row in rows
    ]


def explained(row: DueRow, bare: Bare) -> Explanation:
    """Why no day is said. ``row`` as :func:`with_words` gives it."""
    fitted, words = bare
    return Explanation(row=row, steps=[words], clocks=[ClockLine(WORK)], document=fitted.document)
