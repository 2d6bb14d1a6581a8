"""The one writer of due items: makes the stored ones of some subjects like the reckoned ones."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import numpy.typing as npt
from django.db import connection
from psycopg import sql

from scheduling.facts.copying import HEADER, TRAILER
from scheduling.facts.due_table import COLUMNS, Table, differing, encoded, stored

INTO = sql.SQL("COPY scheduling_dueitem ({}) FROM STDIN (FORMAT BINARY)").format(
    sql.SQL(", ").join(sql.Identifier(column.name) for column in COLUMNS)
)
# A cell of units is written by one bulk job, or by acts on single units, never by both at once.
CELL_UNITS = 20_000
_CELLS = 7301544


def replace(new: Table, where: str, params: Sequence[Any]) -> int:
    """This will make the stored items that meet the condition (about ``d``) those of ``new``.

    Rows that stand as they are stay untouched; where most differ all are written anew, which is
    quicker. Returns how many rows were written.
    """
    old = stored(where, params)
    rows, gone = differing(new, old)
    with connection.cursor() as cursor:
        if len(gone) * 2 > len(old["id"]):
            cursor.execute(f"DELETE FROM scheduling_dueitem d WHERE {where}", params)
            rows = np.arange(len(new["id"]))
        elif len(gone):
            cursor.execute("DELETE FROM scheduling_dueitem WHERE id = ANY(%s)", [gone.tolist()])
    copy_in(new, rows)
    return len(rows)


def copy_in(table: Table, rows: npt.NDArray[np.int64], into: sql.Composable = INTO) -> None:
    """This will add these rows of a table by one binary COPY."""
    if not len(rows):
        return
    with connection.cursor() as cursor, cursor.copy(into) as copy:
        copy.write(HEADER + encoded(table, rows) + TRAILER)


def share_cells(unit_ids: Sequence[int]) -> None:
    """This will keep bulk jobs out of the cells of these units until the transaction ends."""
    _lock("pg_advisory_xact_lock_shared", sorted({unit // CELL_UNITS for unit in unit_ids}))


def own_cell(cell: int) -> None:
    """This will wait for acts in a cell of units and keep others out until the transaction ends."""
    _lock("pg_advisory_xact_lock", [cell])


def _lock(function: str, cells: Sequence[int]) -> None:
    with connection.cursor() as cursor:
        # In one order, so that two who want the same cells never wait for each other.
        for cell in cells:
            cursor.execute(f"SELECT {function}(%s, %s)", [_CELLS, cell])
