"""What an act would change, as it is told: the due list, the plan, the units proposed, the hangars."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from fleet.words.said import days_words
from scheduling.due.lists.rows import DueRow, Explanation
from scheduling.planning.reads.compared import PlanMoves
from scheduling.planning.reads.hangars import OverfullShown

from .in_reach import Reach
from .spares import SpareMoves


@dataclass(frozen=True, slots=True)
class Move:
    """One item before and after; None: it was not there, or is there no more."""

    was: DueRow | None
    now: DueRow | None

    @property
    def row(self) -> DueRow:
        row = self.now or self.was
        assert row is not None
        return row

    @property
    def days(self) -> int | None:
        """By how many days it comes later, earlier where negative; None where no date tells."""
        if not (self.was and self.now and self.was.due_on and self.now.due_on):
            return None
        return (self.now.due_on - self.was.due_on).days

    @property
    def said(self) -> str:
        """By how much it moved, in words."""
        if self.was is None:
            return "new"
        if self.now is None:
            return "no more"
        if not self.days:
            return ""
        return f"{days_words(abs(self.days))} {'later' if self.days > 0 else 'earlier'}"


@dataclass(frozen=True, slots=True)
class Counted:
    """How many items are in one band before and after."""

    code: str
    word: str
    before: int
    after: int


@dataclass(frozen=True, slots=True)
class Moves:
    """What would be otherwise as of one day. ``items`` are all in reach after it, on ``units`` units;
    ``first`` the most urgent of those that move; ``pencil`` one of them worked."""

    on: date
    units: int
    items: int
    moved: int
    came: int
    gone: int
    overdue: int
    bands: tuple[Counted, ...]
    first: tuple[Move, ...]
    pencil: Explanation | None
    #: What of the plan is otherwise; None where only some of an aircraft's items are in reach.
    plan: PlanMoves | None = None
    #: What of the proposal of units is otherwise; None where it was not asked.
    spares: SpareMoves | None = None
    #: Where hangars would have more checks than they hold, and do not now.
    overfull: tuple[OverfullShown, ...] = ()
    reach: Reach = field(default_factory=Reach)

    @property
    def is_nothing(self) -> bool:
        told = self.moved or self.came or self.gone or self.is_planned_anew
        return not (told or self.is_covered_anew or self.overfull)

    @property
    def is_covered_anew(self) -> bool:
        return self.spares is not None and not self.spares.is_nothing

    @property
    def is_planned_anew(self) -> bool:
        return self.plan is not None and not self.plan.is_nothing

    @property
    def unshown(self) -> int:
        return self.moved + self.came + self.gone - len(self.first)
