"""What stands on the due list of a day and is no due item of a limit: read once, in columns and in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date

import numpy as np

from scheduling.engine.basis.bands import Band
from scheduling.facts.due_table import Table

from . import without_limit
from .lists.rows import DueRow, Explanation
from .open_items import listed, told
from .open_items.ends import End, open_ends
from .uncovered import uncovered_on_aircraft
from .without_limit import Bare


@dataclass(frozen=True, slots=True)
class Beside:
    """Open items with what is repeated meanwhile, and fitted cylinders that no limit covers, by their keys."""

    ends: dict[int, End] = field(default_factory=dict)
    bare: dict[int, Bare] = field(default_factory=dict)

    def __bool__(self) -> bool:
        return bool(self.ends or self.bare)

    def table(self, as_of: date) -> Table:
        """The rows of the due list's table."""
        opened = listed.table_of(list(self.ends.values()), as_of)
        bare = without_limit.table_of(list(self.bare.values()), as_of)
        return {name: np.concatenate([opened[name], bare[name]]) for name in opened}

    def with_words(self, rows: Sequence[DueRow]) -> list[DueRow]:
        """The same rows, those that are ours with what they are about."""
        return without_limit.with_words(told.with_words(rows, self.ends), self.bare)

    def explained(self, row: DueRow) -> Explanation:
        """One row of ours with a pencil, as :meth:`with_words` gives it."""
        if row.id in self.ends:
            return told.explained(row, self.ends[row.id])
        return without_limit.explained(row, self.bare[row.id])

    def bands(self) -> Iterator[tuple[int, int]]:
        """The aircraft and the band of each."""
        yield from ((end.item.aircraft_id, end.band) for end in self.ends.values())
        yield from ((fitted.aircraft_id, int(Band.NO_BASIS)) for fitted, _ in self.bare.values())


def beside(as_of: date, *, is_stored: bool) -> Beside:
    """All of it on a day; ``is_stored``: the stored due items hold for that day. Two questions where there is
    nothing."""
    bare = uncovered_on_aircraft(as_of, is_stored=is_stored)
    return Beside(
        {listed.key_of(end): end for end in open_ends(as_of)},
        {without_limit.key_of(each): each for each in bare},
    )


def is_beside(item: int) -> bool:
    """Whether a due item's key is that of a row without a limit."""
    return listed.is_open_item(item) or without_limit.is_without_limit(item)
