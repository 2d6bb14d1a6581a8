"""A small invented world for random histories, and a naive replay to compare the ledger with.

The replay knows nothing of the program's SQL or Python: it walks lists.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from equipment.models import Movement, Place, UnitMerge

START = datetime(2027, 1, 1, tzinfo=UTC)


def hour(number: int) -> datetime:
    return START + timedelta(hours=number)


@dataclass(frozen=True)
class Told:
    """What a naive clerk notes: who, where to, when, when written, what it replaces."""

    id: int
    unit: int
    place: int
    at: datetime
    order: int
    written: datetime
    is_conforming: bool
    corrects: int | None
    annulled: datetime | None


class Clerk:
    """Answers *where was everything at T, as known at K?* by reading the whole book again."""

    def __init__(self) -> None:
        self.book = [
            Told(
                m.pk,
                m.unit_id,
                m.to_place_id,
                m.happened_at,
                m.day_order,
                m.recorded_at,
                m.is_conforming,
                m.corrects_id,
                m.annulment.recorded_at if hasattr(m, "annulment") else None,
            )
            for m in Movement.objects.select_related("annulment").order_by("pk")
        ]
        self.merges = list(UnitMerge.objects.order_by("pk"))
        self.places = {place.pk: place for place in Place.objects.all()}

    def kept(self, unit: int, known: datetime) -> int:
        for merge in self.merges:
            if merge.absorbed_id == unit and merge.recorded_at <= known:
                return self.kept(merge.kept_id, known)
        return unit

    def counts(self, told: Told, known: datetime) -> bool:
        if told.written > known or not told.is_conforming:
            return False
        if told.annulled is not None and told.annulled <= known:
            return False
        return not any(
            later.written <= known and later.is_conforming and self.replaces(later, told.id)
            for later in self.book
        )

    def replaces(self, later: Told, movement: int) -> bool:
        if later.corrects is None:
            return False
        if later.corrects == movement:
            return True
        return self.replaces(next(t for t in self.book if t.id == later.corrects), movement)

    def where(self, at: datetime, known: datetime) -> dict[int, int]:
        """Unit -> place, of every unit that was anywhere."""
        last: dict[int, Told] = {}
        for told in self.book:
            if told.at <= at and self.counts(told, known):
                unit = self.kept(told.unit, known)
                before = last.get(unit)
                if before is None or (before.at, before.order, before.id) < (
                    told.at,
                    told.order,
                    told.id,
                ):
                    last[unit] = told
        return {unit: told.place for unit, told in last.items()}

    def fitted(self, aircraft: int, at: datetime, known: datetime) -> set[tuple[int, int]]:
        """(unit, depth) of all that was on the aircraft."""
        where = self.where(at, known)
        found = set()
        for unit in where:
            depth, place = 0, self.places[where[unit]]
            while place is not None and place.sort == "inside":
                outer = self.kept(place.parent_unit_id, known)
                place = self.places[where[outer]] if outer in where else None
                depth += 1
            if (
                place is not None
                and place.sort == "aircraft"
                and place.aircraft_position.aircraft_id == aircraft
            ):
                found.add((unit, depth))
        return found
