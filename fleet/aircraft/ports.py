"""What the fleet asks of the apps that know what is fitted and what falls due."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from fleet.house.ports import Port


@dataclass(frozen=True, slots=True)
class Grounding:
    """One thing that grounds an aircraft: ``code`` for programs, ``sentence`` for people.

    ``position`` is the code of the position it is at, ``unit_id`` and ``swap_id`` what it is about,
    where it is at, or about, one.
    """

    code: str
    sentence: str
    position: str = ""
    unit_id: int | None = None
    swap_id: int | None = None


#: Asked with aircraft (all: None) and the operator's day. Everything that grounds each, the gravest
#: first; one that nothing grounds is missing: nothing on record does.
groundings_of: Port[[Sequence[int] | None, date], Mapping[int, Sequence[Grounding]]] = Port(
    "what grounds which aircraft"
)
