"""What scheduling knows of a swap's units: what is due on the one that goes on, how much life is used."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import date

import numpy as np

from equipment.availability.ports import BottleLimits
from equipment.common.wording import unit_words
from equipment.judging.release.obstacles import Obstacle
from equipment.ledger.nesting import inside_now
from equipment.models import Swap, Unit
from fleet.models import Measure
from fleet.words.said import count_words, day_words, hours_words
from scheduling.due.failed import failed_tests
from scheduling.due.lists.rows import DueRow
from scheduling.due.lists.words import rows_of
from scheduling.due.of_units import reckoned
from scheduling.due.uncovered import uncovered
from scheduling.engine.basis.bands import Band
from scheduling.engine.basis.columns import UNKNOWN
from scheduling.engine.basis.limits import CALENDAR, RunsOut
from scheduling.engine.clocks.each import ends_of, left_of
from scheduling.engine.telling.flags import Flag, missing_words
from scheduling.facts.batch import Batch, batch_of_units, units_listed
from scheduling.facts.due_table import items_of, keys_of, table_of
from scheduling.facts.items import POSITION, UNIT, Item, subject_of
from scheduling.facts.measures import cycles_of, hours_of
from scheduling.models import DueItem, Limit, Work

SPENT = Flag.MAY_NOT_INSTALL | Flag.MAY_NOT_FLY


def why_due(unit_id: int, on: date, earned: Collection[str] = ()) -> list[Obstacle]:
    """Why a unit may not be released where it is on a day: past a limit, without a basis, or failed in a
    test.

    A limit whose work is among the ``earned`` ones is made right by the release itself.
    """
    units = inside_now([unit_id])[unit_id]
    items = [item for item in reckoned(units, on) if _stops(item)]
    limits = Limit.objects.select_related("work").in_bulk({item.limit_id for item in items})
    named = Unit.objects.select_related("part_number").in_bulk(
        {item.unit_id for item in items if item.unit_id is not None}
    )
    found = [
        _obstacle(item, limits[item.limit_id], named[item.unit_id])
        for item in items
        if item.unit_id is not None and limits[item.limit_id].work.code not in earned
    ]
    failed = [words for each in failed_tests(units, on, earned).values() for words in each]
    bare = uncovered(units, on).values()
    return [
        *found,
        *(Obstacle("unit_expired", words) for words in failed),
        *(Obstacle("unit_without_basis", words) for words in bare),
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


def is_of_position(swap: Swap, unit_id: int | None) -> bool:
    """Whether a work in place is done on the position itself: by the due item that it was begun from, else by
    what asks for it. Where both ask, it is the unit's: the other is begun from its own item."""
    if unit_id is None:
        return True
    if swap.due_item is not None:
        return subject_of(swap.due_item)[2] == POSITION
    asking = DueItem.objects.filter(work__code=swap.work)
    if asking.filter(unit__in=inside_now([unit_id])[unit_id]).exists():
        return False
    return asking.filter(unit=None, position=swap.place.aircraft_position_id or 0).exists()


# --- life -------------------------------------------------------------------------------------


def life_status(unit_id: int, on: date) -> list[dict[str, str]]:
    """Used and left of each limit that ends a unit's life, in the measure that decides."""
    items = [i for i in reckoned([unit_id], on) if subject_of(i.id)[2] == UNIT]
    limits = Limit.objects.prefetch_related("clocks").in_bulk({item.limit_id for item in items})
    ends = [item for item in items if _ends_life(limits[item.limit_id])]
    named = [limits[item.limit_id] for item in ends]
    rows = rows_of(ends, as_of=on, is_stored=False)
    told = zip(named, ends, rows, strict=True)
    counted = list(Measure.objects.order_by("pk"))
    return [
        {
            "limit": f"{limit.code} {limit.title}",
            **_measure(row, _decides(limit, item, counted), on),
        }
        for limit, item, row in told
    ]


def _decides(limit: Limit, item: Item, measures: Sequence[Measure]) -> str:
    """What the clock that decides counts: days, hours, cycles or another; empty where none does."""
    seqs = {clock.seq: clock.measure for clock in limit.clocks.all()}
    measure = seqs.get(item.decided_by or -1)
    if measure is None or measure in CALENDAR:
        return "" if measure is None else "days"
    for name, known in (("hours", hours_of(measures)), ("cycles", cycles_of(measures))):
        if known is not None and measure == known.code:
            return name
    return "other"


def _ends_life(limit: Limit) -> bool:
    return any(clock.runs_out == "end_of_life" for clock in limit.clocks.all())


def _measure(row: DueRow, decides: str, on: date) -> dict[str, str]:
    """Used and left in the measure that decides; where none does, in one that is known."""
    of_other = (row.due_at_other, row.left_other, row.other_measure, row.other_is_hours)
    told = {
        "cycles": _in_count(row.due_at_cycles, row.left_cycles, "flight cycles", False),
        "hours": _in_count(row.due_at_minutes, row.left_minutes, "flight hours", True),
        "other": _in_count(*of_other),
        "days": _in_days(row, on),
    }
    known = [one for one in (told.get(decides), *told.values()) if one is not None]
    return known[0] if known else _told("not known", "not known", "")


def _in_count(
    due_at: int | None, left: int | None, name: str, is_hours: bool
) -> dict[str, str] | None:
    if due_at is None or left is None:
        return None
    words = hours_words if is_hours else count_words
    return _told(words(due_at - left), words(left), name)


def _in_days(row: DueRow, on: date) -> dict[str, str] | None:
    if row.due_on is None or row.start_on is None:
        return None
    used, left = (on - row.start_on).days, (row.due_on - on).days
    return _told(count_words(used), count_words(left), "days")


def _told(used: str, left: str, unit: str) -> dict[str, str]:
    return {"used": used, "left": left, "unit": unit}


# --- fillings ---------------------------------------------------------------------------------


def bottle_limits(unit_id: int, on: date) -> BottleLimits:
    """The earliest day and count of the limits that forbid a filling, or end the bottle's life.

    A test without a date is required and not known: then nothing may be filled. So is one that a
    cylinder's specification asks for and no limit covers.
    """
    batch = batch_of_units(units_listed([unit_id]), on)
    table = table_of(batch)
    items = [i for i in items_of(table, range(len(table["id"]))) if subject_of(i.id)[2] == UNIT]
    limits = Limit.objects.prefetch_related("clocks").in_bulk({item.limit_id for item in items})
    fillings = _fillings_left(batch)
    tested, living = _ends(batch, "until_emptied"), _ends(batch, "end_of_life")
    tests: list[date | None] = [tested[item.id] for item in items if item.id in tested]
    lives = [living[item.id] for item in items if item.id in living]
    ends_life = [item.id for item in items if _ends_life(limits[item.limit_id])]
    left = [fillings[key] for key in ends_life if key in fillings]
    return BottleLimits(
        requalify_by=None if None in tests else min((day for day in tests if day), default=None),
        is_test_required=bool(tests) or bool(uncovered([unit_id], on)),
        life_ends_on=min((day for day in lives if day), default=None),
        fillings_left=min(left, default=None),
        failed=tuple(failed_tests([unit_id], on).get(unit_id, ())),
    )


def works_of_tests(unit_id: int, on: date) -> list[Work]:
    """The works of the limits of a unit that forbid a filling once they are due."""
    items = [i for i in reckoned([unit_id], on) if subject_of(i.id)[2] == UNIT]
    limits = Limit.objects.filter(pk__in={item.limit_id for item in items})
    tests = limits.filter(clocks__runs_out="until_emptied").values("work")
    return list(Work.objects.filter(pk__in=tests).order_by("code"))


def _ends(batch: Batch, runs_out: RunsOut) -> dict[int, date | None]:
    """Of each item with a clock that runs out so the last good day by that clock: a test and a life may
    be two clocks of one limit. None where it comes to no day."""
    found: dict[int, date | None] = {}
    for part in batch.parts():
        on, asks = ends_of(part.rules.limits, part.facts, runs_out, part.as_of)
        if part.from_on is not None:
            on = np.where(np.isnat(on), on, np.fmax(on, part.from_on - np.timedelta64(1, "D")))
        keyed = zip(keys_of(part).tolist(), on.tolist(), asks.tolist(), strict=True)
        found |= {key: day for key, day, is_asked in keyed if is_asked}
    return found


def _fillings_left(batch: Batch) -> dict[int, int]:
    """What each item that counts fillings has left of them, whichever of its clocks decides."""
    counts = set(Measure.objects.filter(counts="filling").values_list("code", flat=True))
    return {
        key: much
        for part in batch.parts()
        for key, much in zip(
            keys_of(part).tolist(),
            left_of(part.rules.limits, part.facts, counts, part.as_of).tolist(),
            strict=True,
        )
        if much != UNKNOWN
    }
