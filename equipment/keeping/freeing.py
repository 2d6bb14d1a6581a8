"""A unit that fails frees what it was set aside for, and whoever accepted it is told."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from django.db.models import F

from equipment.common.wording import PLACE_PARTS, place_words, unit_words
from equipment.ledger.nesting import around_now
from equipment.models import Reservation, Unit
from fleet.models import User
from fleet.people.acts.notices import tell
from fleet.words.said import day_words

#: Movements after which a unit can no longer serve what it was set aside for.
LOST_TO_NEEDS = frozenset({"quarantined", "lent", "exchanged", "sold", "lost", "scrapped"})


def free_failed(
    *, unit_ids: Iterable[int], words: str, by: User, at: datetime
) -> list[Reservation]:
    """This will end what these units, or units that hold them, are set aside for, and tell who did that.

    ``words`` say what became of the unit (“is held: …”). Part of the act that found it; the units
    must be held by it. Returns what was freed, so that whoever proposes may propose anew.
    """
    outwards = {unit for units in around_now(unit_ids).values() for unit in units}
    rows = Reservation.objects.filter(unit__in=Unit.objects.same_as(outwards), ended_at=None)
    parts = (f"place__{part}" for part in PLACE_PARTS)
    freed = list(
        rows.select_for_update(of=("self",))
        .select_related("unit__part_number", "reserved_by", *parts)
        .order_by("pk")
    )
    for each in freed:
        each.ended_at, each.ended_how, each.ended_by = at, "failed", by
        each.save(update_fields=["ended_at", "ended_how", "ended_by"])
        need = f"{place_words(each.place)} on {day_words(each.need_on)}"
        said = f"{unit_words(each.unit)} is no longer set aside for {need}: it {words}"
        tell(to=each.reserved_by, words=said, link=f"/units/{each.unit_id}/", at=at)
    return freed


def free_gone(*, moved: Iterable[tuple[int, str]], by: User, at: datetime) -> list[Reservation]:
    """The same for units (each with the sort of its movement) that were taken out of stock, if that is
    where they are now: one recorded of the past, which came back since, frees nothing."""
    lost = {unit for unit, sort in moved if sort in LOST_TO_NEEDS}
    if not lost:
        return []
    parts = (f"place__{part}" for part in PLACE_PARTS)
    away = Unit.objects.filter(pk__in=lost, reservations__ended_at=None)
    away = away.filter(reservations__isnull=False).exclude(place__sort="store").distinct()
    freed = []
    for unit in away.select_related(*parts).order_by("pk"):
        words = f"is no longer in stock: {place_words(unit.place)}."
        freed += free_failed(unit_ids=[unit.pk], words=words, by=by, at=at)
    return freed


def use_fitted(*, fitted: Iterable[tuple[int, int]], by: User, at: datetime) -> None:
    """This will end as used what was set aside for the place that each unit was fitted at, if it is there
    now. Of a swap that is for its release to do."""
    wanted = set(fitted)
    if not wanted:
        return
    there = Reservation.objects.filter(ended_at=None, unit__place=F("place"))
    for each in there.select_for_update(of=("self",)).order_by("pk"):
        if (each.unit_id, each.place_id) in wanted:
            each.ended_at, each.ended_how, each.ended_by = max(at, each.reserved_at), "used", by
            each.save(update_fields=["ended_at", "ended_how", "ended_by"])
