"""A measured value: what was typed, and what it is in the unit of its rule."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from equipment.judging.verdicts import amount_words


@dataclass(frozen=True, slots=True)
class Quantity:
    """A value in ``unit`` (the rule's), as it was typed, and the unit it was typed in.

    ``typed_value`` is the number before conversion.
    """

    value: Decimal
    unit: str
    as_typed: str
    in_unit: str
    typed_value: Decimal

    @property
    def words(self) -> str:
        """``18.3333 ft-lb``: in the rule's unit."""
        return amount_words(self.value, self.unit)

    @property
    def typed_words(self) -> str:
        """In the unit that the person used."""
        return amount_words(self.typed_value, self.in_unit)

    @property
    def readable_to(self) -> Decimal:
        """Half a unit of the last figure typed, in the rule's unit: what was read is good to that."""
        exponent = self.typed_value.as_tuple().exponent
        half = Decimal(5).scaleb((exponent if isinstance(exponent, int) else 0) - 1)
        if not self.typed_value:
            return half
        return abs(half * self.value / self.typed_value)

    def as_json(self) -> dict[str, Any]:
        """This will be kept with the entry: numbers as strings, so that none is rounded."""
        return {
            "value": f"{self.value:f}",
            "unit": self.unit,
            "as_typed": self.as_typed,
            "typed_value": f"{self.typed_value:f}",
            "in_unit": self.in_unit,
        }
