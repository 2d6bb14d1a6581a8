"""The line's lists for the controller: discrepancies, tools and the values they touched."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from equipment.common.wording import PLACE_PARTS, place_words, unit_words
from equipment.models import Discrepancy, Settlement

MOST = 100
PARTS = (
    "aircraft",
    "found_by",
    "recorded_unit__part_number",
    "found_unit__part_number",
    "swap",
    "walk_round",
    *(f"place__{part}" for part in PLACE_PARTS),
)


@dataclass(frozen=True, slots=True)
class Differs:
    """One discrepancy: what was found against what the records said, and how it was settled."""

    id: int
    what: str
    where: str
    words: str
    recorded: str
    found: str
    found_at: datetime
    found_by: str
    swap_id: int | None
    settled: str = ""


def unsettled() -> list[Differs]:
    """What waits for the controller, the oldest first."""
    found = Discrepancy.objects.filter(settlement__isnull=True).select_related(*PARTS)
    return [_differs(each) for each in found.order_by("found_at", "pk")[:MOST]]


def settled_lately() -> list[Differs]:
    """What was settled, the latest first."""
    found = Settlement.objects.select_related(
        "settled_by", *(f"discrepancy__{part}" for part in PARTS)
    )
    return [
        _differs(
            each.discrepancy,
            f"{each.get_sort_display().capitalize()}: {each.words}, {each.settled_by.shown_name}",
        )
        for each in found.order_by("-settled_at", "-pk")[:20]
    ]


def _differs(found: Discrepancy, settled: str = "") -> Differs:
    where = place_words(found.place) if found.place else str(found.aircraft or "")
    return Differs(
        id=found.pk,
        what=found.get_sort_display(),
        where=where,
        words=found.words,
        recorded=unit_words(found.recorded_unit) if found.recorded_unit else "",
        found=unit_words(found.found_unit) if found.found_unit else "",
        found_at=found.found_at,
        found_by=found.found_by.shown_name,
        swap_id=found.swap_id,
        settled=settled,
    )
