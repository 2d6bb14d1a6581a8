"""What scheduling knows of a swap's units: what is due on the one that goes on, how much life is used."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date
from typing import Any

from equipment.judging.release import Obstacle
from equipment.ledger.nesting import inside_now
from equipment.models import Unit
from equipment.signals import BottleLimits
from equipment.wording import unit_words
from fleet.drawing.words import count_words, day_words, hours_words
from fleet.models import Measure

from .engine.bands import Band
from .facts.batch import batch_of_units, units_listed
from .facts.due_table import items_of, table_of
from .lists.flags import Flag, missing_words
from .lists.items import UNIT, Item, subject_of
from .models import Limit, Work

SPENT = Flag.MAY_NOT_INSTALL | Flag.MAY_NOT_FLY


def reckoned(unit_ids: list[int], on: date) -> list[Item]:
    """The due items of these units as of a day, by the engine, from the facts as they stand now."""
    table = table_of(batch_of_units(units_listed(unit_ids), on))
    return items_of(table, range(len(table["id"])))


def why_due(unit_id: int, on: date, earned: Collection[str] = ()) -> list[Obstacle]:
    """Why a unit may not be released where it is on a day: past a limit, or without a basis.

    A limit whose work is among the ``earned`` ones is made right by the release itself.
    """
    units = inside_now([unit_id])[unit_id]
    items = [item for item in reckoned(units, on) if _stops(item)]
    limits = Limit.objects.select_related("work").in_bulk({item.limit_id for item in items})
    named = Unit.objects.select_related("part_number").in_bulk(
        {item.unit_id for item in items if item.unit_id is not None}
    )
    return [
        _obstacle(item, limits[item.limit_id], named[item.unit_id])
        for item in items
        if item.unit_id is not None and limits[item.limit_id].work.code not in earned
    ]


def _stops(item: Item) -> bool:
    if subject_of(item.id)[2] != UNIT or item.band == Band.QUIET:
        return False
    is_over = item.band == Band.OVERDUE and not item.flags & Flag.WITHIN_VARIATION
    return bool(is_over or item.flags & SPENT or item.band == Band.NO_BASIS)


def _obstacle(item: Item, limit: Limit, unit: Unit) -> Obstacle:
    named = f"{unit_words(unit)}, {limit.title} ({limit.document} {limit.document_revision})"
    if item.band == Band.NO_BASIS:
        lacks = ", ".join(missing_words(item.missing)) or "a fact"
        return Obstacle(
            "unit_without_basis", f"{named}: it cannot be said when, for lack of {lacks}."
        )
    ended = "its life has ended" if item.flags & Flag.END_OF_LIFE else "due"
    return Obstacle("unit_expired", f"{named}: {ended}{_since(item)}.")


def _since(item: Item) -> str:
    return f" since {day_words(item.due_on)}" if item.due_on else ""


# --- works ------------------------------------------------------------------------------------


def subjects_of_works(unit_id: int, codes: list[str], on: date) -> list[tuple[int, str, Work]]:
    """(unit, code, work) of each work earned: of the units that a limit asks it of, else the outermost.

    A code that no programme knows is left out.
    """
    works = {work.code: work for work in Work.objects.filter(code__in=codes)}
    asked: dict[str, list[int]] = {}
    if works:
        by_id = {work.pk: work.code for work in works.values()}
        for item in reckoned(inside_now([unit_id])[unit_id], on):
            if item.work_id in by_id and item.unit_id is not None:
                asked.setdefault(by_id[item.work_id], []).append(item.unit_id)
    return [
        (unit, code, works[code])
        for code in codes
        if code in works
        for unit in sorted(set(asked.get(code, [unit_id])))
    ]


# --- life -------------------------------------------------------------------------------------


def life_status(unit_id: int, on: date) -> list[dict[str, Any]]:
    """Used and left of each limit that ends a unit's life, in the measure that decides."""
    found = []
    items = [i for i in reckoned([unit_id], on) if subject_of(i.id)[2] == UNIT]
    limits = Limit.objects.prefetch_related("clocks").in_bulk({item.limit_id for item in items})
    for item in items:
        limit = limits[item.limit_id]
        if _ends_life(limit):
            found.append({"limit": f"{limit.code} {limit.title}", **_measure(item, on)})
    return found


def _ends_life(limit: Limit) -> bool:
    return any(clock.runs_out == "end_of_life" for clock in limit.clocks.all())


def _measure(item: Item, on: date) -> dict[str, str]:
    if item.left_cycles is not None and item.due_at_cycles is not None:
        used = item.due_at_cycles - item.left_cycles
        return _told(count_words(used), count_words(item.left_cycles), "flight cycles")
    if item.left_minutes is not None and item.due_at_minutes is not None:
        used = item.due_at_minutes - item.left_minutes
        return _told(hours_words(used), hours_words(item.left_minutes), "flight hours")
    if item.left_other is not None and item.due_at_other is not None:
        used = item.due_at_other - item.left_other
        return _told(count_words(used), count_words(item.left_other), "count")
    if item.due_on is not None and item.start_on is not None:
        used, left = (on - item.start_on).days, (item.due_on - on).days
        return _told(count_words(used), count_words(left), "days")
    return _told("not known", "not known", "")


def _told(used: str, left: str, unit: str) -> dict[str, str]:
    return {"used": used, "left": left, "unit": unit}


# --- fillings ---------------------------------------------------------------------------------


def bottle_limits(unit_id: int, on: date) -> BottleLimits:
    """The earliest day and count of the limits that forbid a filling, or end the bottle's life.

    A test without a date is required and not known: then nothing may be filled.
    """
    items = [i for i in reckoned([unit_id], on) if subject_of(i.id)[2] == UNIT]
    limits = Limit.objects.prefetch_related("clocks").in_bulk({item.limit_id for item in items})
    tests, lives, left = [], [], []
    for item in items:
        clocks = list(limits[item.limit_id].clocks.all())
        if any(clock.runs_out == "until_emptied" for clock in clocks):
            tests.append(item.due_on)
        if _ends_life(limits[item.limit_id]):
            lives.append(item.due_on)
            if item.left_other is not None and any(clock.measure in _counts() for clock in clocks):
                left.append(item.left_other)
    return BottleLimits(
        requalify_by=None if None in tests else min((day for day in tests if day), default=None),
        is_test_required=bool(tests),
        life_ends_on=min((day for day in lives if day), default=None),
        fillings_left=min(left, default=None),
    )


def _counts() -> set[str]:
    """The codes of the measures that count fillings."""
    return set(Measure.objects.filter(counts="filling").values_list("code", flat=True))
