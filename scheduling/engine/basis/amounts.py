"""How much a clock allows each item: the first of its amounts whose conditions hold.

Where a condition rests on a fact that is not recorded, the item is *unsure*: the fact is named, and
the least of the amounts that could hold is kept for the worst case.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .columns import UNKNOWN, Bools, Indices, Ints
from .limits import Amount, Clock
from .result import Missing


@dataclass(frozen=True, slots=True)
class Traits:
    """What amounts are chosen by, per item. Ages are whole months, UNKNOWN without manufacture;
    ``method`` and ``standard`` are indices, -1 not recorded."""

    is_repeat: Bools
    age: Ints
    method: Indices
    standard: Indices
    stated_life: Ints
    methods: tuple[str, ...]
    standards: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Allowed:
    """``value`` is UNKNOWN where nothing is allowed or known; where facts are ``missing`` it is the
    least that could hold. ``row`` is the amount's place in the clock. ``runs`` is false where the
    clock has no amount for this turn (first or repeat)."""

    value: Ints
    row: Indices
    missing: Ints
    runs: Bools


def is_plain(clock: Clock) -> bool:
    """One number, whatever the item: most clocks."""
    only = clock.amounts[0]
    conditions = (only.share, only.age_from_months, only.method, only.standard)
    return (
        len(clock.amounts) == 1
        and only.when == "any"
        and not any(condition is not None for condition in conditions)
    )


def plain(clock: Clock, number: int) -> Allowed:
    value = clock.amounts[0].value
    nought = np.zeros(number, dtype="int64")
    return Allowed(np.full(number, value), nought, nought, np.ones(number, dtype=bool))


def bands_at_due(clock: Clock) -> list[int]:
    """The ages at which another amount may hold because of the age when it falls due."""
    ages = {
        amount.age_from_months
        for amount in clock.amounts
        if amount.age_basis == "at_due" and amount.age_from_months
    }
    return sorted({0, *(age for age in ages if age is not None)})


def choose(clock: Clock, traits: Traits, age_at_due: int | Ints = 0) -> Allowed:
    """The amount of each item, were it to fall due at ``age_at_due`` months."""
    number = len(traits.age)
    value = np.full(number, UNKNOWN)
    row = np.full(number, -1)
    missing = np.zeros(number, dtype="int64")
    runs = np.zeros(number, dtype=bool)
    is_open = np.ones(number, dtype=bool)
    for index, amount in enumerate(clock.amounts):
        in_turn = _in_turn(amount, traits)
        runs |= in_turn
        holds, lacks = _conditions(amount, traits, age_at_due)
        could = is_open & in_turn & holds
        worth, unknown_life = _worth(amount, traits)
        lacks = lacks | np.where(unknown_life, int(Missing.STATED_LIFE), 0)
        better = could & ~unknown_life & ((value == UNKNOWN) | (worth < value))
        value = np.where(better, worth, value)
        row = np.where(better, index, row)
        missing = np.where(could, missing | lacks, missing)
        is_open &= ~(could & (lacks & ~int(Missing.STATED_LIFE) == 0))
    nothing_fits = runs & is_open & (missing == 0)
    missing = np.where(nothing_fits, int(Missing.AMOUNT), missing)
    return Allowed(value, row, np.where(runs, missing, 0), runs)


def _in_turn(amount: Amount, traits: Traits) -> Bools:
    if amount.when == "any":
        return np.ones(len(traits.is_repeat), dtype=bool)
    return traits.is_repeat if amount.when == "repeat" else ~traits.is_repeat


def _worth(amount: Amount, traits: Traits) -> tuple[Ints, Bools]:
    number = len(traits.age)
    if amount.share is None:
        return np.full(number, amount.value), np.zeros(number, dtype=bool)
    worth = traits.stated_life * amount.share.numerator // amount.share.denominator
    return worth, traits.stated_life == UNKNOWN


def _conditions(amount: Amount, traits: Traits, age_at_due: int | Ints) -> tuple[Bools, Ints]:
    """Where the conditions hold or could hold, and the facts missing to be sure."""
    holds = np.ones(len(traits.age), dtype=bool)
    lacks = np.zeros(len(traits.age), dtype="int64")
    if amount.age_from_months is not None:
        unknown = traits.age == UNKNOWN
        if amount.age_basis == "at_due":
            old = np.full(len(holds), np.asarray(age_at_due) >= amount.age_from_months)
        else:
            old = (traits.age >= amount.age_from_months) | unknown
            lacks |= np.where(unknown, int(Missing.MANUFACTURED), 0)
        holds &= old
    if amount.method is not None:
        known = traits.is_repeat & (traits.method < 0)
        same = traits.is_repeat & _is(traits.method, traits.methods, amount.method)
        holds &= same | known
        lacks |= np.where(known, int(Missing.METHOD), 0)
    if amount.standard is not None:
        unknown = traits.standard < 0
        holds &= _is(traits.standard, traits.standards, amount.standard) | unknown
        lacks |= np.where(unknown, int(Missing.STANDARD), 0)
    return holds, np.where(holds, lacks, 0)


def _is(index: Indices, names: tuple[str, ...], name: str) -> Bools:
    found: Bools = index == names.index(name) if name in names else np.zeros(len(index), dtype=bool)
    return found
