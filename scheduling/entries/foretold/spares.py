"""Which unit is proposed for each planned removal, before an act and after it: made anew by the one maker of proposals."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from fleet.house.refusals import Refused
from fleet.words.said import weekday_words
from scheduling.allocation.acts.make import make_proposal
from scheduling.allocation.reads.kept import current, is_stale
from scheduling.models import ProposedNeed

#: So many are shown; the rest is counted.
MOST_SHOWN = 40


@dataclass(frozen=True, slots=True)
class Covered:
    """A planned removal: which unit comes off where and when, and the unit proposed for it (empty: it is short)."""

    off: str
    where: str
    on: date
    station: str
    unit: str

    @property
    def words(self) -> str:
        return f"{self.unit or 'none: short'}, {weekday_words(self.on)} at {self.station}"


@dataclass(frozen=True, slots=True)
class SpareMove:
    """A removal that is covered by another unit than before; None: it was not planned, or is no more."""

    was: Covered | None
    now: Covered | None

    @property
    def one(self) -> Covered:
        found = self.now or self.was
        assert found is not None
        return found

    @property
    def is_short(self) -> bool:
        return self.now is not None and not self.now.unit


@dataclass(frozen=True, slots=True)
class SpareMoves:
    """What is otherwise of the proposal. ``lost``: removals short now that were covered or were none; ``found``:
    covered now that were short; ``other``: covered by another unit, or planned anew or no more."""

    lost: int
    found: int
    other: int
    first: tuple[SpareMove, ...]

    @property
    def is_nothing(self) -> bool:
        return not self.first

    @property
    def unshown(self) -> int:
        return self.lost + self.found + self.other - len(self.first)


Spares = dict[str, Covered]


def spares_now(as_of: date, at: datetime) -> Spares:
    """The removals of the year ahead by their key: as they are kept, or made now where facts have changed. Inside a
    transaction that is taken back. Refuses ``proposal_being_made`` while somebody else makes one."""
    run = current()
    if run is None or is_stale(run, as_of):
        run = make_proposal(as_of=as_of, at=at)
    if run is None:
        words = "The proposal of units is being made just now: ask again in a moment."
        raise Refused("proposal_being_made", words)
    return {
        row.key: Covered(
            row.off_words,
            f"{row.registration} {row.position}".strip(),
            row.on,
            row.station,
            row.unit_words,
        )
        for row in ProposedNeed.objects.filter(run=run).order_by("on", "key")
    }


def spare_moves(before: Spares, after: Spares) -> SpareMoves:
    """What is otherwise, short ones first, then by day."""
    found = [
        SpareMove(before.get(key), after.get(key))
        for key in {*before, *after}
        if before.get(key) != after.get(key)
    ]
    found.sort(key=lambda move: (not move.is_short, move.one.on, move.one.where, move.one.off))
    lost = sum(move.is_short and not (move.was and not move.was.unit) for move in found)
    again = sum(
        bool(move.was and not move.was.unit and move.now and move.now.unit) for move in found
    )
    return SpareMoves(lost, again, len(found) - lost - again, tuple(found[:MOST_SHOWN]))
