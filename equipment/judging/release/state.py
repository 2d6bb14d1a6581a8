"""The facts of one swap that its release is decided by, as plain data."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from equipment.judging.verdicts import Problem, Verdict

from .signing import Person


@dataclass(frozen=True, slots=True)
class Obstacle:
    """One thing that stands in the way of a release."""

    code: str
    sentence: str
    step_number: int | None = None


@dataclass(frozen=True, slots=True)
class Mark:
    """A signature on a step: who, when, and whether what was signed is still what stands there.

    ``is_current`` is False once the digest no longer matches; ``is_reinspection`` says that the
    same person inspected again, for the reason given.
    """

    by: Person
    at: datetime
    is_current: bool = True
    is_reinspection: bool = False
    reason: str = ""


@dataclass(frozen=True, slots=True)
class CountPair:
    """What was fitted to make safe and what came back; None where it is not recorded."""

    what: str
    fitted: int | None
    returned: int | None

    @property
    def is_balanced(self) -> bool:
        return self.fitted is not None and self.fitted == self.returned


@dataclass(frozen=True, slots=True)
class StepState:
    """One step as it stands: its latest entry, the sign-off of it, and its inspection.

    ``verdict`` is None without an entry. ``performers`` are all who took part, besides the signer.
    ``not_accepted`` is an inspector's refusal of what stands there; ``covers`` the numbers of steps that
    cannot be seen once it is done.
    """

    number: int
    phase: str
    words: str
    sort: str
    is_needed: bool
    is_inspected: bool
    verdict: Verdict | None = None
    sentence: str = ""
    entered_at: datetime | None = None
    performers: tuple[Person, ...] = ()
    signed: Mark | None = None
    inspected: Mark | None = None
    counts: tuple[CountPair, ...] = ()
    not_accepted: Mark | None = None
    covers: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class OpenItemFact:
    """The open item that a position is left open under; ``expires_on`` is its last good day."""

    words: str
    document: str
    expires_on: date | None


@dataclass(frozen=True, slots=True)
class UnitOnFacts:
    """The unit that goes on, and each reason why it should not: ``why_not_use`` by the codes of segregation."""

    words: str
    fits: bool = True
    why_not_fit: str = ""
    why_not_use: tuple[Obstacle, ...] = ()
    nested_unaccounted: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LedgerFacts:
    """What the ledger must have and has: what came off, what went on, or the position left open.

    ``nested_off_unaccounted`` are units that were inside the one that came off and are nowhere.
    """

    needs_removal: bool
    is_removal_recorded: bool
    needs_installation: bool
    is_installation_recorded: bool
    is_installation_conforming: bool = True
    why_not_conforming: str = ""
    left_open: OpenItemFact | None = None
    nested_off_unaccounted: tuple[str, ...] = ()
    is_removal_conforming: bool = True


@dataclass(frozen=True, slots=True)
class SwapState:
    """Everything that a release is decided by, on a day. ``other`` is what upper layers add."""

    on: date
    steps: tuple[StepState, ...]
    ledger: LedgerFacts
    unit_on: UnitOnFacts | None = None
    authorisation_problems: tuple[Problem, ...] = ()
    rules_may_reinspect: bool = False
    other: tuple[Obstacle, ...] = ()
