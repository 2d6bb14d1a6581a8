"""What a list is narrowed by, from the codes that people know to keys."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import Model

from equipment.models import PartNumber
from fleet.house.refusals import Reasons
from fleet.models import Aircraft, Kind, Station
from scheduling.engine.basis.bands import CODES, Band
from scheduling.models import Work

from .rows import SORTS, DueFilters

BAND_CODES = [CODES[band] for band in Band]


@dataclass(frozen=True, slots=True)
class Scope:
    """Keys to narrow by; None means all. ``part_number_ids`` empty means that nothing matches."""

    station_id: int | None = None
    aircraft_id: int | None = None
    kind_id: int | None = None
    work_id: int | None = None
    band: int | None = None
    part_number_ids: tuple[int, ...] | None = None
    until_on: date | None = None
    unit_id: int | None = None
    ids: tuple[int, ...] = ()
    sort: str = "urgency"
    is_descending: bool = False

    @property
    def with_quiet(self) -> bool:
        """Where no clock runs there is nothing to do: only who asks for that, a unit or items sees it."""
        return self.band == Band.QUIET or self.unit_id is not None or bool(self.ids)

    @property
    def is_empty(self) -> bool:
        return self.part_number_ids == ()


def scope_of(filters: DueFilters) -> Scope:
    """The keys behind the codes. Refuses every code that nobody entered, each at its field."""
    reasons = Reasons()
    found = {
        "station_id": _key(Station, "code", filters.station, "station", reasons),
        "aircraft_id": _key(Aircraft, "registration", filters.aircraft, "aircraft", reasons),
        "kind_id": _key(Kind, "code", filters.kind, "kind", reasons),
        "work_id": _key(Work, "code", filters.work, "work", reasons),
        "band": _band(filters.band, reasons),
    }
    if filters.sort not in dict(SORTS):
        known = ", ".join(code for code, _ in SORTS)
        reasons.add(
            "unknown_sort", f"There is no order “{filters.sort}”. Take one of: {known}.", "sort"
        )
    reasons.refuse()
    return Scope(
        **found,
        part_number_ids=_part_numbers(filters.part_number),
        until_on=filters.until_on,
        unit_id=filters.unit_id,
        ids=tuple(filters.ids),
        sort=filters.sort,
        is_descending=filters.is_descending,
    )


def _key(model: type[Model], name: str, code: str, field: str, reasons: Reasons) -> int | None:
    if not code:
        return None
    manager: Any = model._default_manager
    key = manager.filter(**{f"{name}__iexact": code}).values_list("pk", flat=True).first()
    if key is None:
        reasons.add(
            f"unknown_{field}", f"There is no {field} “{code}”. Give one that is entered.", field
        )
    return key


def _band(code: str, reasons: Reasons) -> int | None:
    if not code:
        return None
    if code in BAND_CODES:
        return BAND_CODES.index(code)
    reasons.add(
        "unknown_band", f"There is no band “{code}”. Take one of: {', '.join(BAND_CODES)}.", "band"
    )
    return None


def _part_numbers(number: str) -> tuple[int, ...] | None:
    """The same number may be two makers'. One that nobody entered is on no line of the list."""
    if not number:
        return None
    found = PartNumber.objects.filter(number__iexact=number).order_by("pk")
    return tuple(found.values_list("pk", flat=True))
