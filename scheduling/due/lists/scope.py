"""What a list is narrowed to: from the codes that people know to keys, and what each key means."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from equipment.models import PartNumber
from fleet.acts.fields import field_named
from fleet.house.refusals import Reasons
from scheduling.engine.basis.bands import CODES, Band

from .comparing import (
    Bools,
    Compared,
    Conditions,
    Table,
    among,
    below,
    equal,
    grounding,
    of_unit,
    up_to,
)
from .filters import ORDER, DueFilters
from .rows import SORTS

BAND_CODES = [CODES[band] for band in Band]
#: Under which a field of a scope keeps what it means.
MEANS = "means"

#: From what a filter was given (by its name) to the key: refuses what nobody entered.
LookUp = Callable[[str, Any, Reasons], Any]


def as_given(name: str, value: Any, reasons: Reasons) -> Any:
    """What was given is the key itself."""
    return value


def key_of_code(name: str, code: str, reasons: Reasons) -> int | None:
    """The key of the row that the filter's declaration names; of any row but upper and lower case."""
    said = field_named(DueFilters, name).said
    assert said.model is not None
    rows = said.model._default_manager.filter(**{f"{said.column}__iexact": code})
    key: int | None = rows.values_list("pk", flat=True).first()
    if key is None:
        sentence = f"There is no {said.what} “{code}”. Give one that is entered."
        reasons.add(f"unknown_{name}", sentence, name)
    return key


def band_of_code(name: str, code: str, reasons: Reasons) -> int | None:
    if code in BAND_CODES:
        return BAND_CODES.index(code)
    known = ", ".join(BAND_CODES)
    reasons.add("unknown_band", f"There is no band “{code}”. Take one of: {known}.", name)
    return None


def part_numbers(name: str, number: str, reasons: Reasons) -> tuple[int, ...]:
    """The same number may be two makers'. One that nobody entered is on no line of the list."""
    found = PartNumber.objects.filter(number__iexact=number).order_by("pk")
    return tuple(found.values_list("pk", flat=True))


@dataclass(frozen=True, slots=True)
class Meaning:
    """What one filter means: how its key is found, and how items are compared with the key."""

    of: str
    look_up: LookUp
    compared: Compared


def means(of: str, look_up: LookUp, compared: Compared, default: Any = None) -> Any:
    """A key of a scope: of which filter it is, how it is found, what it keeps."""
    return dataclasses.field(default=default, metadata={MEANS: Meaning(of, look_up, compared)})


@dataclass(frozen=True, slots=True)
class Scope:
    """Keys to narrow by; their defaults mean all. Keys that are an empty tuple match nothing."""

    station_id: int | None = means("station", key_of_code, equal("station_id"))
    aircraft_id: int | None = means("aircraft", key_of_code, equal("aircraft_id"))
    kind_id: int | None = means("kind", key_of_code, equal("kind_id"))
    work_id: int | None = means("work", key_of_code, equal("work_id"))
    unit_id: int | None = means("unit_id", as_given, of_unit())
    part_number_ids: tuple[int, ...] | None = means(
        "part_number", part_numbers, among("part_number_id")
    )
    until_on: date | None = means("until_on", as_given, up_to("sort_on"))
    ids: tuple[int, ...] = means("ids", as_given, among("id"), default=())
    grounds: bool = means("grounds", as_given, grounding(), default=False)
    band: int | None = means("band", band_of_code, equal("band"))
    sort: str = "urgency"
    is_descending: bool = False

    @property
    def with_quiet(self) -> bool:
        """Where no clock runs there is nothing to do: only who asks for that, a unit or items sees it."""
        return self.band == Band.QUIET or self.unit_id is not None or bool(self.ids)

    @property
    def is_empty(self) -> bool:
        return any(value == () for _, value in self._asked())

    def conditions(self, *, with_band: bool = True) -> Conditions:
        """What keeps the stored items of the scope, as SQL about ``d``; of every band if so asked."""
        return [
            condition
            for compared, value in self._compared(with_band)
            for condition in compared.stored(value)
        ]

    def keeps(self, table: Table, *, with_band: bool = True) -> Iterator[Bools]:
        """What keeps the reckoned items of the scope: all of these together."""
        return (compared.reckoned(table, value) for compared, value in self._compared(with_band))

    def _compared(self, with_band: bool) -> Iterator[tuple[Compared, Any]]:
        for meaning, value in self._asked():
            if with_band or meaning.of != "band":
                yield meaning.compared, value
        if not self.with_quiet:
            yield below("band"), Band.QUIET

    def _asked(self) -> Iterator[tuple[Meaning, Any]]:
        for name, (meaning, default) in MEANINGS.items():
            value = getattr(self, name)
            if value != default:
                yield meaning, value


def meanings_of(scope: type, filters: type) -> dict[str, tuple[Meaning, Any]]:
    """What each key of a scope means, with its default. TypeError for a filter that has no meaning or
    two: it would narrow nothing, and nobody would see that."""
    found = {
        each.name: (each.metadata[MEANS], each.default)
        for each in dataclasses.fields(scope)
        if MEANS in each.metadata
    }
    meant = sorted(meaning.of for meaning, _ in found.values())
    declared = sorted({each.name for each in dataclasses.fields(filters)} - set(ORDER))
    if meant != declared:
        raise TypeError(f"Filters are {declared}, but keys have the meaning of {meant}.")
    return found


MEANINGS = meanings_of(Scope, DueFilters)
_EMPTY = DueFilters()


def scope_of(filters: DueFilters) -> Scope:
    """The keys behind the codes. Refuses every code that nobody entered, each at its field."""
    reasons = Reasons()
    found: dict[str, Any] = {}
    for name, (meaning, _) in MEANINGS.items():
        given = getattr(filters, meaning.of)
        if given != getattr(_EMPTY, meaning.of):
            found[name] = meaning.look_up(meaning.of, given, reasons)
    if filters.sort not in dict(SORTS):
        known = ", ".join(code for code, _ in SORTS)
        reasons.add(
            "unknown_sort", f"There is no order “{filters.sort}”. Take one of: {known}.", "sort"
        )
    reasons.refuse()
    return Scope(**found, sort=filters.sort, is_descending=filters.is_descending)
