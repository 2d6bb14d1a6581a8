"""Lines that an act refuses one by one: each refusal at its cell, the rest tried again without it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TypeVar

from equipment.ledger.facts import RowsRefused
from fleet.loading.batch import Batch

Fact = TypeVar("Fact")
#: A line that was refused may make others refused: so often the rest is tried again.
MOST_TRIES = 40


def record_strictly(
    batch: Batch,
    rows: Mapping[int, Fact],
    record: Callable[[list[Fact]], object],
    column_of: Mapping[str, str],
) -> None:
    """This will record the facts of the good lines by ``record``, which refuses by row.

    ``column_of`` names, by the field of a refusal, the sheet's column that it belongs to.
    """
    for _ in range(MOST_TRIES):
        lines = [line for line in rows if batch.is_good(line)]
        if not lines:
            return
        try:
            record([rows[line] for line in lines])
        except RowsRefused as refused:
            for index, refusals in refused.by_row.items():
                for refusal in refusals:
                    name = column_of.get(refusal.field or "")
                    batch.refuse(lines[index], name, refusal.code, refusal.message)
        else:
            return
    for line in [line for line in rows if batch.is_good(line)]:
        batch.refuse(
            line,
            None,
            "hangs_on_refused",
            "This line hangs on lines that were refused. Mend those first.",
        )
