"""What was handed over the counter, and is neither fitted nor brought back yet."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.db.models import QuerySet

from equipment.common.wording import PLACE_PARTS, place_words, unit_words
from equipment.models import Place, Reservation


@dataclass(frozen=True, slots=True)
class Issued:
    """A unit that was handed over: to whom, for which job and need, on which day, how many days ago."""

    reservation_id: int
    unit_id: int
    unit: str
    to: str
    job: str
    need: str
    on: date
    days: int


def issued_units() -> QuerySet[Reservation]:
    """Handed over and still in no place but the store that it left."""
    rows = Reservation.objects.filter(
        ended_at=None, issued_at__isnull=False, unit__place__sort=Place.STORE
    )
    parts = (f"place__{part}" for part in PLACE_PARTS)
    return rows.select_related("unit__part_number", "issued_by", *parts)


def issued(today: date, station: str = "") -> list[Issued]:
    """The same, the oldest first; of one station, or everywhere."""
    rows = issued_units()
    if station:
        rows = rows.filter(unit__place__station__code=station)
    return [
        Issued(
            row.pk,
            row.unit_id,
            unit_words(row.unit),
            row.issued_to,
            row.issued_job,
            place_words(row.place),
            row.issued_at.date(),
            max(0, (today - row.issued_at.date()).days),
        )
        for row in rows.order_by("issued_at", "pk")
        if row.issued_at is not None
    ]
