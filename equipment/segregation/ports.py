"""What segregation asks of the upper app that knows limits."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from fleet.house.ports import Port

#: Asked with units (each with itself and all in it) and a day. Sentences by unit; one of which nothing
#: has run out is missing.
expired_among: Port[[Mapping[int, Sequence[int]], date], dict[int, list[str]]] = Port(
    "which limits of units, or of what is inside them, have run out"
)
