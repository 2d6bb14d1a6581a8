"""What the equipment's acts take and give back: plain, frozen facts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from uuid import UUID

from fleet.house.refusals import Refusal, Refused

from .moments import PlaceAt, When
from .said import (
    AnnulmentFact,
    CertificateFact,
    IdentificationFact,
    LifeStatementFact,
    MergeFact,
    SightingFact,
    TitleFact,
    UnitFact,
)

__all__ = [
    "AnnulmentFact",
    "CertificateFact",
    "Entered",
    "IdentificationFact",
    "LifeStatementFact",
    "MergeFact",
    "MovementFact",
    "PlaceAt",
    "Recorded",
    "RowsRefused",
    "SightingFact",
    "TitleFact",
    "UnitFact",
    "When",
]


@dataclass(frozen=True, slots=True)
class MovementFact:
    """One movement to be recorded: what happened to which unit, where it is from then on.

    ``to`` is a place's key or its description. ``quantity`` is how many the unit (a lot) has from
    then on; None leaves it. ``aircraft_minutes`` and ``aircraft_cycles`` are the aircraft's totals
    as read. ``corrects`` names the movement that this one replaces. ``act_id`` is this row's own,
    where one call brings several movements of one unit; else the call's. ``off`` is the key of the
    place that a removal is said to be from: of a unit recorded at another one it does not conform.
    """

    unit_id: int
    sort: str
    to: int | PlaceAt
    when: When
    day_order: int = 0
    aircraft_minutes: int | None = None
    aircraft_cycles: int | None = None
    log_page: str = ""
    document: str = ""
    reason: str = ""
    quantity: int | None = None
    corrects: int | None = None
    act_id: UUID | None = None
    off: int | None = None


@dataclass(frozen=True, slots=True)
class Recorded:
    """What became of one row. ``is_new`` is false where the same act had been done before."""

    movement_id: int
    unit_id: int
    is_conforming: bool
    reasons: tuple[Refusal, ...] = ()
    is_new: bool = True


class RowsRefused(Refused):
    """Rows of one call that were refused: every reason by the row's index. Nothing was recorded."""

    def __init__(self, by_row: Mapping[int, list[Refusal]]) -> None:
        self.by_row = {row: list(reasons) for row, reasons in by_row.items() if reasons}
        every = [reason for reasons in self.by_row.values() for reason in reasons]
        super().__init__(every[0].code, every[0].message, every[0].field)
        self.refusals = every


class RowsAsked(RowsRefused):
    """Rows of one call that are doubtful: asked about first, recorded as they are once confirmed."""


@dataclass(frozen=True, slots=True)
class Entered:
    """What became of one row of papers or units: its key; ``is_new`` false if it was on record."""

    id: int
    is_new: bool = True
