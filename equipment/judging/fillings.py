"""Whether a bottle may be filled, and whether it may stay: 49 CFR 180.205(c) and (i)."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from dateutil.relativedelta import relativedelta

from fleet.words.said import count_words, day_words, month_words

from .verdicts import Problem

FILLINGS_3HT = 4380


@dataclass(frozen=True, slots=True)
class BottleFacts:
    """A bottle on a day: when its requalification and its life run out, and how often it was filled.

    ``requalify_by`` and ``life_ends_on`` are the last good days: whether a month is good to its end is
    said by the limit. ``fillings`` are those so far, None if they are not on record from new;
    ``most_fillings`` the life in fillings, None without one. ``filled_on`` is None if not known.
    ``condemned`` says by which tag, ``failed`` which tests it failed; empty where nothing is.
    """

    gas: str
    requalify_by: date | None = None
    is_test_required: bool = True
    life_ends_on: date | None = None
    fillings: int | None = None
    most_fillings: int | None = None
    is_empty: bool = False
    filled_on: date | None = None
    condemned: str = ""
    failed: tuple[str, ...] = ()


def end_of_month(day: date) -> date:
    """The last day of a day's month."""
    return day + relativedelta(day=31)


def due_words(last: date) -> str:
    """The month alone where its last day is the last good one."""
    return month_words(last) if last == end_of_month(last) else day_words(last)


def _unsound(bottle: BottleFacts) -> list[Problem]:
    found = [Problem("test_failed", f"{each} It is not filled.") for each in bottle.failed]
    if bottle.condemned:
        found.append(Problem("unit_condemned", f"It {bottle.condemned}: it is never filled again."))
    return found


def why_not_fill(bottle: BottleFacts, on: date) -> list[Problem]:
    """Every reason not to fill a bottle that day; empty if it may be filled.

    Not past its requalification, never past its service life, not once more than its
    most fillings (the 4,380th is allowed, the next is not); an oxygen bottle found empty is not
    recharged (AC 43.13-1B p. 9-42). What was condemned (180.205(i)(2)) or failed its test is not filled.
    """
    return [
        *_unsound(bottle),
        *_requalification(bottle, on),
        *_life(bottle, on),
        *_fillings(bottle),
        *_empty_oxygen(bottle),
    ]


def _requalification(bottle: BottleFacts, on: date) -> list[Problem]:
    if not bottle.is_test_required:
        return []
    if bottle.requalify_by is None:
        sentence = "When its requalification is due is not recorded: it may not be filled."
        return [Problem("requalification_unknown", sentence)]
    if on <= bottle.requalify_by:
        return []
    sentence = (
        f"Its requalification was due by {due_words(bottle.requalify_by)}: it may stay in service "
        "until emptied, but not be filled."
    )
    return [Problem("requalification_due", sentence)]


def _life(bottle: BottleFacts, on: date) -> list[Problem]:
    if bottle.life_ends_on is None or on <= bottle.life_ends_on:
        return []
    sentence = f"Its service life ended on {day_words(bottle.life_ends_on)}: never fill it again."
    return [Problem("life_ended", sentence)]


def _fillings(bottle: BottleFacts) -> list[Problem]:
    most = bottle.most_fillings
    if most is None:
        return []
    if bottle.fillings is None:
        sentence = (
            f"It may be filled {count_words(most)} times, and its fillings since new are not on record. "
            "Filled more than once every other day on average, it must have them: bring its total."
        )
        return [Problem("fillings_unknown", sentence)]
    if bottle.fillings < most:
        return []
    sentence = f"It was filled {count_words(bottle.fillings)} times of {count_words(most)}."
    return [Problem("fillings_used_up", sentence)]


def _empty_oxygen(bottle: BottleFacts) -> list[Problem]:
    if not (bottle.is_empty and bottle.gas == "oxygen"):
        return []
    sentence = "An oxygen bottle that is completely empty is not recharged: send it to the shop."
    return [Problem("empty_oxygen", sentence)]


def why_not_stay(bottle: BottleFacts, on: date) -> list[Problem]:
    """Why a bottle may not stay in service: emptied, or filled after its requalification was due.

    One filled before it was due may remain until it is emptied (180.205(c)).
    """
    if not bottle.is_test_required or bottle.requalify_by is None:
        return []
    due = bottle.requalify_by
    if on <= due:
        return []
    if bottle.is_empty:
        sentence = f"It is empty and its requalification was due by {due_words(due)}."
        return [Problem("emptied_past_due", sentence)]
    if bottle.filled_on is None:
        sentence = (
            f"When it was filled is not recorded; its requalification was due by {due_words(due)}."
        )
        return [Problem("filling_unknown", sentence)]
    if bottle.filled_on > due:
        sentence = (
            f"It was filled on {day_words(bottle.filled_on)}, after its requalification was due."
        )
        return [Problem("filled_past_due", sentence)]
    return []


def must_count_fillings(fillings: int, days: int) -> bool:
    """Whether a 3HT bottle's fillings must be counted: more than one every other day, on average."""
    return days > 0 and Decimal(fillings) / days > Decimal(1) / 2
