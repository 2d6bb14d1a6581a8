"""Families in which hands or doors may be mixed: of a position that no fit is listed for, every part of the kind counts."""

from __future__ import annotations

from django.db.models import Exists, OuterRef

from equipment.models import Fit
from scheduling.models import ProposalRun, ProposedNeed


def unlisted_families(run: ProposalRun) -> dict[str, list[str]]:
    """By family the positions of its needs that no fit is listed for, by name. One question."""
    place = "place__"
    on_aircraft = Fit.objects.filter(
        type_position=OuterRef(f"{place}aircraft_position__type_position")
    )
    inside = Fit.objects.filter(part_position=OuterRef(f"{place}part_position"))
    rows = (
        ProposedNeed.objects.filter(run=run)
        .exclude(Exists(on_aircraft))
        .exclude(Exists(inside))
        .order_by("family", "position")
    )
    found: dict[str, list[str]] = {}
    for family, position in rows.values_list("family", "position").distinct():
        found.setdefault(family, []).append(position)
    return found


def unlisted_words(positions: list[str]) -> str:
    """What is said of such a family; empty where every position has its fits."""
    if not positions:
        return ""
    more = f" and {len(positions) - 3} more" if len(positions) > 3 else ""
    return (
        f"No fits are listed for {', '.join(positions[:3])}{more}: every part of the kind counts there, left and right hand"
        " and any door alike. List the fits to tell them apart."
    )
