"""Which part numbers fit where a unit comes off, so that one is asked for that fits; or that no fits are entered there."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection
from dataclasses import dataclass

from django.db.models import Q

from equipment.models import Fit, Place
from scheduling.matching.facts.fits import is_within


@dataclass(frozen=True, slots=True)
class Fitting:
    """The part numbers listed for a position on this aircraft. ``is_listed``: fits are entered for the position at
    all; else any part of its kind counts, of either hand. ``terms`` are what a fit asks besides, in words."""

    is_listed: bool = False
    parts: tuple[str, ...] = ()
    terms: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        if not self.is_listed:
            return "Fits not entered: any part of the kind counts, of either hand."
        if not self.parts:
            return "No part listed for this position fits this aircraft."
        asked = f" ({'; '.join(self.terms)})" if self.terms else ""
        return f"Fits: {', '.join(self.parts)}{asked}"


def fitting_at(place_ids: Collection[int], msn: str) -> dict[int, Fitting]:
    """By place what fits there on the aircraft of this MSN. Two questions."""
    places = Place.objects.filter(pk__in=place_ids).values_list(
        "pk", "aircraft_position__type_position", "part_position"
    )
    spots = {key: (None if inside else outside, inside) for key, outside, inside in places}
    rows = Fit.objects.filter(
        Q(type_position__in={outside for outside, _ in spots.values() if outside})
        | Q(part_position__in={inside for _, inside in spots.values() if inside})
    )
    listed: dict[tuple[int | None, int | None], list[Fit]] = defaultdict(list)
    for row in rows.select_related("part_number").order_by("part_number__number", "pk"):
        listed[row.type_position_id, row.part_position_id].append(row)
    return {key: _fitting(listed[spot], msn) for key, spot in spots.items()}


def _fitting(listed: list[Fit], msn: str) -> Fitting:
    there = [row for row in listed if not msn or is_within(msn, row.msn_from, row.msn_to)]
    parts = dict.fromkeys(row.part_number.number for row in there)
    terms = dict.fromkeys(term for row in there for term in _terms(row))
    return Fitting(bool(listed), tuple(parts), tuple(terms))


def _terms(row: Fit) -> list[str]:
    found = []
    if row.standards:
        found.append(f"{row.part_number.number} at {', '.join(map(str, row.standards))}")
    if row.condition:
        found.append(row.get_condition_display())
    return found
