"""Whether a value would be right in another unit: three milliohm typed as three ohm."""

from __future__ import annotations

from decimal import Decimal

from equipment.judging.verdicts import Question, amount_words, number_words, range_words

from .quantity import Quantity
from .units import converted, sort_of, units_of

# Units nearer than this (N·m and ft-lb, kg and lb) cannot be told apart by the value alone.
LEAST_FACTOR = Decimal(5)
# Beyond a limit that has one side only: how far from it a value is still an ordinary one.
FAR = Decimal(100)
LIKELY = Decimal(30)
NEAR = Decimal(3)
MARGIN = Decimal("1.25")


def questioned(
    quantity: Quantity, low: Decimal | None, high: Decimal | None, field: str = "value"
) -> Question | None:
    """A question if the value is far from what is expected and would be right in another unit.

    ``low`` and ``high`` are the rule's, in ``quantity.unit``. Off by about 1000 (mΩ and Ω), 12
    (in-lb and ft-lb), 8.85 (in-lb and N·m), 14.5 (psi and bar), 60 (minutes, seconds) and the like.
    None if the value is an ordinary one, right or not.
    """
    sort = sort_of(quantity.unit)
    if sort is None or quantity.typed_value == 0 or _is_ordinary(quantity.value, low, high):
        return None
    for unit in _by_nearness(quantity, sort):
        value = converted(quantity.typed_value, unit, quantity.unit, sort)
        if _would_be_right(value, low, high):
            return _question(quantity, unit, low, high, field)
    return None


def _by_nearness(quantity: Quantity, sort: str) -> list[str]:
    """The other units far enough away to be told apart, the rule's own, then the nearest."""
    one = converted(Decimal(1), quantity.in_unit, quantity.unit, sort)
    if sort in {"temperature", "angle"} or not one:
        return []
    factors = {
        unit: converted(Decimal(1), unit, quantity.unit, sort) / one for unit in units_of(sort)
    }
    far = {unit: max(factor, 1 / factor) for unit, factor in factors.items() if factor}
    # The rule's own unit is the likeliest to have been meant.
    told_apart = [unit for unit in far if far[unit] >= LEAST_FACTOR]
    return sorted(told_apart, key=lambda unit: (unit != quantity.unit, far[unit]))


def _is_ordinary(value: Decimal, low: Decimal | None, high: Decimal | None) -> bool:
    if low is not None and high is not None:
        return low <= value <= high
    if high is not None:
        return high / FAR <= value <= high
    return low is None or low <= value <= low * 10


def _would_be_right(value: Decimal, low: Decimal | None, high: Decimal | None) -> bool:
    if low is not None and high is not None:
        return low / MARGIN <= value <= high * MARGIN
    if high is not None:
        return high / LIKELY <= value <= high * NEAR
    return low is not None and low / NEAR <= value <= low * NEAR


def doubted(quantity: Quantity, sentence: str, field: str = "value") -> Question:
    """A question about a value that no other unit would make right."""
    answer = f"{number_words(quantity.typed_value)} {quantity.in_unit}"
    return Question(sentence, "", answer, field)


def _question(
    quantity: Quantity, unit: str, low: Decimal | None, high: Decimal | None, field: str
) -> Question:
    instead = amount_words(quantity.typed_value, unit)
    limit = range_words(low, high, quantity.unit)
    also = "" if quantity.in_unit == quantity.unit else f" ({quantity.words})"
    sentence = f"Is it {instead}? {quantity.typed_words}{also} is far from the limit, {limit}."
    answer = f"{number_words(quantity.typed_value)} {quantity.in_unit}"
    return Question(sentence, instead, answer, field)
