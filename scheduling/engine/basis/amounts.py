"""How much a clock allows each item: the first of its amounts whose conditions hold.

Where a condition rests on a fact that is not recorded, the item is *unsure*: the fact is named, and
the least of the amounts that could hold is kept for the worst case.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from .columns import UNKNOWN, Bools, Indices, Ints
from .limits import AgeBasis, Amount, Clock, Turn
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
    return len(clock.amounts) == 1 and only.share is None and only == Amount(only.value)


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
    return _TURNS[amount.when](traits.is_repeat)


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
    for name, holds_by in CHOSEN_BY.items():
        if getattr(amount, name) is not None:
            one, lacking = holds_by(amount, traits, age_at_due)
            holds &= one
            lacks |= lacking
    return holds, np.where(holds, lacks, 0)


def _by_age(amount: Amount, traits: Traits, age_at_due: int | Ints) -> tuple[Bools, Ints]:
    assert amount.age_from_months is not None
    return _OLD[amount.age_basis](amount.age_from_months, traits, age_at_due)


def _old_at_work(months: int, traits: Traits, _: int | Ints) -> tuple[Bools, Ints]:
    unknown = traits.age == UNKNOWN
    return (traits.age >= months) | unknown, np.where(unknown, int(Missing.MANUFACTURED), 0)


def _old_at_due(months: int, traits: Traits, age_at_due: int | Ints) -> tuple[Bools, Ints]:
    number = len(traits.age)
    return np.full(number, np.asarray(age_at_due) >= months), np.zeros(number, dtype="int64")


def _by_method(amount: Amount, traits: Traits, _: int | Ints) -> tuple[Bools, Ints]:
    unknown = traits.is_repeat & (traits.method < 0)
    same = traits.is_repeat & _is(traits.method, traits.methods, amount.method)
    return same | unknown, np.where(unknown, int(Missing.METHOD), 0)


def _by_standard(amount: Amount, traits: Traits, _: int | Ints) -> tuple[Bools, Ints]:
    unknown = traits.standard < 0
    same = _is(traits.standard, traits.standards, amount.standard)
    return same | unknown, np.where(unknown, int(Missing.STANDARD), 0)


def _is(index: Indices, names: tuple[str, ...], name: str | None) -> Bools:
    found: Bools = index == names.index(name) if name in names else np.zeros(len(index), dtype=bool)
    return found


_OLD: Mapping[AgeBasis, Callable[[int, Traits, int | Ints], tuple[Bools, Ints]]] = {
    "at_work": _old_at_work,
    "at_due": _old_at_due,
}
#: By field of an amount that is a condition: where it holds or could, and the facts missing to be sure.
CHOSEN_BY: Mapping[str, Callable[[Amount, Traits, int | Ints], tuple[Bools, Ints]]] = {
    "age_from_months": _by_age,
    "method": _by_method,
    "standard": _by_standard,
}
#: By turn, which items an amount is for, of those that have had the work done.
_TURNS: Mapping[Turn, Callable[[Bools], Bools]] = {
    "any": np.ones_like,
    "first": np.logical_not,
    "repeat": np.copy,
}
