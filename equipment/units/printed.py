"""Printed tags that hold no more: a later print replaced them, or the unit may not be used any more."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Exists, OuterRef

from equipment.common.wording import unit_words
from equipment.models import Place, PrintedTag
from equipment.segregation.doubted import doubted_among
from equipment.segregation.facts import Asked, uses_of
from equipment.segregation.rule import asks_decision, why_not_use
from fleet.words.said import moment_words

from .printed_state import NO_MATTER


@dataclass(frozen=True, slots=True)
class ToBringBack:
    """A printed tag to take off its unit: which, since when it hangs there, and why it holds no more."""

    printed_id: int
    unit_id: int
    unit: str
    words: str
    why: str


def tags_to_bring_back(
    today: date, at: datetime, station: str = "", unit_id: int | None = None
) -> list[ToBringBack]:
    """All that hang on units in stock, or on one, the oldest first. One question where none was printed."""
    later = PrintedTag.objects.filter(unit=OuterRef("unit"), number__gt=OuterRef("number"))
    rows = PrintedTag.objects.filter(back=None).annotate(is_replaced=Exists(later))
    rows = rows.filter(unit__place__sort__in=(Place.STORE, Place.QUARANTINE))
    if station:
        rows = rows.filter(unit__place__station__code=station)
    if unit_id is not None:
        rows = rows.filter(unit=unit_id)
    printed = list(
        rows.select_related("unit__part_number", "printed_by").order_by("printed_at", "pk")
    )
    asked = {each.unit_id for each in printed if each.is_serviceable and not each.is_replaced}
    against = _against(asked, today, at)
    found = []
    for each in printed:
        why = "A later print replaces it." if each.is_replaced else against.get(each.unit_id, "")
        if why and (each.is_replaced or each.is_serviceable):
            words = f"print {each.number}, {moment_words(each.printed_at)}, {each.printed_by.shown_name}"
            found.append(ToBringBack(each.pk, each.unit_id, unit_words(each.unit), words, why))
    return found


def _against(unit_ids: set[int], today: date, at: datetime) -> dict[int, str]:
    """The gravest reason against each unit of which anything is said."""
    doubted = doubted_among(unit_ids, today) if unit_ids else set()
    found = {}
    for unit, use in uses_of(doubted, Asked(today, at)).items() if doubted else ():
        told = [
            each for each in (*why_not_use(use), *asks_decision(use)) if each.code not in NO_MATTER
        ]
        if told:
            found[unit] = told[0].message
    return found
