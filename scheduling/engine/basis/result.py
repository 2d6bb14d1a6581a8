"""What the engine answers: one row per due item, in columns; and the names of missing facts."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum, IntFlag

import numpy as np
import numpy.typing as npt

from .columns import Bools, Dates, Indices, Ints


class State(IntEnum):
    """RECKONED: a limit is known, or known to be passed. NO_BASIS: a fact is missing. QUIET: no
    clock of the limit runs now (not fitted yet, or a one-time work that was done)."""

    RECKONED = 0
    NO_BASIS = 1
    QUIET = 2


class Missing(IntFlag):
    """The facts without which nothing can be said. A set of them is stored as one number."""

    MANUFACTURED = 1
    FIRST_INSTALLED = 2
    INSTALLED = 4
    LAST_DONE = 8
    STATED_LIFE = 16
    METHOD = 32
    STANDARD = 64
    LIFE_STATEMENT = 128
    READING = 256
    TOTAL_AT_START = 512
    AMOUNT = 1024
    NO_CLOCK = 2048


MISSING_WORDS: dict[Missing, str] = {
    Missing.MANUFACTURED: "the date of manufacture",
    Missing.FIRST_INSTALLED: "the date of the first installation",
    Missing.INSTALLED: "the date of this installation",
    Missing.LAST_DONE: "when the work was last done",
    Missing.STATED_LIFE: "the stated life",
    Missing.METHOD: "the method of the last work",
    Missing.STANDARD: "the modification standard",
    Missing.LIFE_STATEMENT: "a life statement (total since new)",
    Missing.READING: "a reading of the aircraft's total",
    Missing.TOTAL_AT_START: "the total at the start of the interval",
    Missing.AMOUNT: "an amount of the limit that fits this unit",
    Missing.NO_CLOCK: "a clock of the limit",
}


def missing_words(mask: int) -> list[str]:
    """The missing facts of a set, in words."""
    return [words for fact, words in MISSING_WORDS.items() if mask & fact]


class Stop(IntEnum):
    """What happens when the deciding clock runs out, from least to most severe."""

    UNTIL_EMPTIED = 0
    MAY_NOT_FLY = 1
    END_OF_LIFE = 2


@dataclass(frozen=True, slots=True)
class Due:
    """One row per item, in the order of ``Facts.items``. Unknown dates NaT, unknown numbers UNKNOWN.

    ``is_past``: past its limit as of the day (certain even where another clock's fact is missing).
    ``due_on``: the last good day without variation, with any extension; ``due_on_projected`` where
    a rate made it of hours or cycles. NaT where only ``due_at_*`` is known. ``due_at_minutes``,
    ``due_at_cycles`` (flown by the aircraft) and ``due_at_other`` (of the unit's own or a further one
    of the aircraft's, ``other_measure``) are totals of the subject at which it is due; ``total_*`` the totals now;
    ``left_*`` what is left (negative: over). ``decided_by`` and ``runner_up`` are seqs of clocks,
    -1 for none. ``missing`` is a set of :class:`Missing`; ``worst_on`` the earliest that the known
    facts allow. ``variation_until_on`` / ``_at``: of the deciding clock. ``within_variation``: past
    the limit, not past the variation: it may still fly. ``may_fly`` is false only where a limit is
    known to be passed (beyond variation, and not one that lets it stay until emptied);
    ``may_be_past``: for lack of a fact it cannot be shown to be inside a limit that it may not fly past:
    what is known allows a day before today, or no day at all.
    ``may_refill`` and ``may_install`` are false also without a basis, ``may_refill`` also where no
    filling (or other count of the unit's own) is left. ``is_growing``: time that is
    not counted (in store, not installed) still grows, so the date holds as of the day asked.
    ``no_rate``: hours or cycles without a date, as the aircraft does not fly or there is none.
    """

    state: npt.NDArray[np.int8]
    is_past: Bools
    due_on: Dates
    due_on_projected: Bools
    start_on: Dates
    due_at_minutes: Ints
    due_at_cycles: Ints
    due_at_other: Ints
    other_measure: Indices
    total_minutes: Ints
    total_cycles: Ints
    total_other: Ints
    left_days: Ints
    left_minutes: Ints
    left_cycles: Ints
    left_other: Ints
    decided_by: npt.NDArray[np.int16]
    runner_up: npt.NDArray[np.int16]
    runner_up_on: Dates
    missing: npt.NDArray[np.int32]
    worst_on: Dates
    stop: npt.NDArray[np.int8]
    may_fly: Bools
    may_be_past: Bools
    may_refill: Bools
    may_install: Bools
    variation_until_on: Dates
    variation_until_at: Ints
    within_variation: Bools
    is_extended: Bools
    is_growing: Bools
    no_rate: Bools
