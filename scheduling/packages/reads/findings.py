"""What was found on an aircraft in the work of its check, and how it was settled."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from equipment.common.wording import PLACE_PARTS, place_words
from equipment.models import Discrepancy
from fleet.models import Check
from fleet.words.said import moment_words


@dataclass(frozen=True, slots=True)
class FindingShown:
    """What was found in the work, and how it was settled; ``settled`` is empty while it is not."""

    id: int
    words: str
    where: str
    found_by: str
    found_at: datetime
    settled: str


def findings_of(check: Check, since: datetime, until: datetime | None) -> tuple[FindingShown, ...]:
    """What was found on its aircraft since the package was handed over. One question."""
    rows = Discrepancy.objects.filter(aircraft=check.aircraft_id, found_at__gte=since)
    rows = rows.exclude(sort__in=Discrepancy.OF_RECORDS)
    if until is not None:
        rows = rows.filter(found_at__lte=until)
    parts = (f"place__{part}" for part in PLACE_PARTS)
    found = rows.select_related("found_by", "settlement__settled_by", *parts)
    return tuple(
        FindingShown(
            each.pk,
            each.words,
            place_words(each.place) if each.place else "",
            each.found_by.shown_name,
            each.found_at,
            _settled(each),
        )
        for each in found.order_by("found_at", "pk")
    )


def _settled(row: Discrepancy) -> str:
    end = getattr(row, "settlement", None)
    return f"{end.words} {end.settled_by.shown_name}, {moment_words(end.settled_at)}" if end else ""
