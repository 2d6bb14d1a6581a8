"""Every word of a limit: what it is called where it is chosen, how it is said, and what it entails.

The one table that models, sheets, sentences and arithmetic take a word from; nothing else lists them.
``tests/scheduling/engine/test_words.py`` goes through the words of :mod:`.limits` and names each place
that does not know one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from .limits import (
    AgeBasis,
    Anchor,
    Compares,
    Rounds,
    Runs,
    RunsOut,
    Stamp,
    Start,
    Subject,
    Turn,
    When,
)


@dataclass(frozen=True, slots=True)
class Word:
    """``choice`` is how sheets and forms offer it; ``said`` how an explanation says it, empty where
    it goes without saying."""

    choice: str
    said: str


@dataclass(frozen=True, slots=True)
class StartWord(Word):
    """``is_new``: what was flown or used since then is the total since new. ``each_fitting``: a unit
    in store has not begun, and begins anew whenever it is fitted."""

    is_new: bool
    each_fitting: bool


@dataclass(frozen=True, slots=True)
class AnchorWord(Word):
    """``dated`` is the column of the last work that holds the date."""

    dated: Literal["released_on", "shop_released_on"]


@dataclass(frozen=True, slots=True)
class RunsWord(Word):
    """``said`` follows the number of days; ``reads_stays``: it asks when a unit was in store."""

    reads_stays: bool


@dataclass(frozen=True, slots=True)
class ComparesWord(Word):
    """``edge``: so many days, minutes or counts before the amount is the last good one."""

    edge: int


SUBJECTS: Mapping[Subject, Word] = {
    "unit": Word("each unit", ""),
    "position": Word("each position", ""),
    "aircraft": Word("each aircraft", ""),
    "population": Word("a sample of the units", ""),
}
WHENS: Mapping[When, Word] = {
    "first": Word("first of its clocks", ""),
    "last": Word("last", ""),
}
STARTS: Mapping[Start, StartWord] = {
    "manufacture": StartWord("manufacture", "manufacture", True, False),
    "first_installation": StartWord("first installation", "the first installation", False, False),
    "this_installation": StartWord("this installation", "this installation", False, True),
    "last_done": StartWord("last done", "the last work", False, False),
    "given_date": StartWord("a given date", "the given date", False, False),
}
ANCHORS: Mapping[Anchor, AnchorWord] = {
    "release": AnchorWord(
        "the aircraft's release date", "the aircraft's release to service", "released_on"
    ),
    "shop_release": AnchorWord("the shop's release date", "the shop's release", "shop_released_on"),
    "original_due": AnchorWord(
        "the original due date when done inside the variation",
        "the aircraft's release to service",
        "released_on",
    ),
}
RUNS: Mapping[Runs, RunsWord] = {
    "always": RunsWord("always", "", False),
    "installed_only": RunsWord("while installed only", "not installed are not counted", True),
    "store_at_ratio": RunsWord(
        "in store at a ratio",
        "are not counted of its time in store, which counts at {clock.store_ratio}",
        True,
    ),
    "store_up_to_cap": RunsWord(
        "time in store not counted, up to a cap",
        "in store are not counted (up to {clock.store_cap_months} months)",
        True,
    ),
}
ROUNDS: Mapping[Rounds, Word] = {
    "day": Word("to the day", ""),
    "month_end": Word("end of month", "the end of its month"),
}
STAMPS: Mapping[Stamp, Word] = {
    "end": Word("good to the end of its month", "its last day"),
    "start": Word("its first day", "its first day"),
}
COMPARES: Mapping[Compares, ComparesWord] = {
    "after": ComparesWord("after the amount", "", 0),
    "at": ComparesWord("at the amount", "at the amount, not after it", 1),
}
RUNS_OUT: Mapping[RunsOut, Word] = {
    "may_not_fly": Word("may not fly", "When it runs out: not to fly after this date."),
    "until_emptied": Word(
        "may stay until emptied, not be refilled or installed",
        "When it runs out it may stay until emptied, but not be refilled or installed.",
    ),
    "end_of_life": Word(
        "end of life, never again", "When it runs out its life has ended, for good."
    ),
}
TURNS: Mapping[Turn, Word] = {
    "any": Word("any time", ""),
    "first": Word("first time", "the first time"),
    "repeat": Word("repeat", "each time after the first"),
}
AGES: Mapping[AgeBasis, Word] = {
    "at_work": Word("age when the work was done", "when the work was done"),
    "at_due": Word("age when it falls due", "when it falls due"),
}

#: The words that each field of a limit, of its clocks and of their amounts is said in.
OF_LIMIT: Mapping[str, Mapping[Any, Word]] = {"subject": SUBJECTS, "when": WHENS}
OF_CLOCK: Mapping[str, Mapping[Any, Word]] = {
    "counts_from": STARTS,
    "first_from": STARTS,
    "anchor": ANCHORS,
    "runs": RUNS,
    "rounds": ROUNDS,
    "month_only_stamp": STAMPS,
    "compares": COMPARES,
    "runs_out": RUNS_OUT,
}
OF_AMOUNT: Mapping[str, Mapping[Any, Word]] = {"when": TURNS, "age_basis": AGES}


def choices(words: Mapping[Any, Word]) -> dict[str, str]:
    """By word, what it is called where it is chosen."""
    return {word: one.choice for word, one in words.items()}


def listed(words: Mapping[Any, Word], apart: str = ", ") -> str:
    """The choices in a sentence: ``to the day, or end of month``. Where commas part them they have
    none inside."""
    named = [one.choice.replace(",", "") if apart == ", " else one.choice for one in words.values()]
    last = f"or {named[-1]}"
    return apart.join([*named[:-1], last])
