"""What each day leaves behind for pictures of the past: how much was overdue, and how early works were done."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import date, datetime, timedelta

import numpy as np
from django.db.models import Count

from fleet.drawing.time import month_after
from scheduling.due.due_list import stored_day
from scheduling.due.lists.reckoned import reckoned_table
from scheduling.due.lists.scope import Scope
from scheduling.engine.basis.bands import Band
from scheduling.facts.batch import batch_of_units, units_listed
from scheduling.facts.due_table import NULL, Table, table_of
from scheduling.facts.units import absorbed_units
from scheduling.models import DayCounted, DueItem, Limit, WorkDone, WorkJudged

from ..reads.early import to_judge

#: Works of so many days past are judged, and so many months ago the list is reckoned for its first day.
DAYS, MONTHS = 366, 12
#: So many days of works are judged at a time, each with a reckoning of its own.
AT_A_TIME = 12
#: Of more items no past month is reckoned anew: it would keep the house's only worker from the day's work.
MOST_ITEMS = 200_000
EPOCH = date(1970, 1, 1).toordinal()


def keep_for_pictures(today: date, at: datetime) -> int:
    """This will count today's list once it is made, reckon one past month that lacks its count, and judge works
    of some days that were not judged yet. Asked again, it does nothing twice. Returns how many rows are new."""
    if stored_day() != today:
        return 0
    return count_day(today, at) + count_past_month(today, at) + judge_works(today, at)


def count_day(day: date, at: datetime) -> int:
    """This will keep how much stands in the loud bands of a day's list, as that list is stored."""
    if DayCounted.objects.filter(day=day).exists():
        return 0
    rows = DueItem.objects.order_by().values_list("band").annotate(count=Count("pk"))
    return _keep(day, dict(rows), at, is_later=False)


def count_past_month(today: date, at: datetime) -> int:
    """This will reckon the list of the first day of one month of the last year that has no count."""
    latest = DayCounted.objects.filter(is_later=False).order_by("-day").first()
    if latest is None or latest.items > MOST_ITEMS:
        return 0
    firsts = [month_after(today, -back) for back in range(MONTHS)]
    known = set(DayCounted.objects.filter(day__in=firsts).values_list("day", flat=True))
    lacking = [day for day in firsts if day not in known and day != today]
    if not lacking:
        return 0
    bands = reckoned_table(Scope(), lacking[0])["band"]
    counts = (
        np.bincount(bands, minlength=len(Band)) if len(bands) else np.zeros(len(Band), np.int64)
    )
    return _keep(lacking[0], dict(enumerate(counts.tolist())), at, is_later=True)


def _keep(day: date, counts: dict[int, int], at: datetime, *, is_later: bool) -> int:
    def of(*bands: Band) -> int:
        return int(sum(counts.get(int(band), 0) for band in bands))

    row = DayCounted(
        day=day,
        items=of(*(band for band in Band if band != Band.QUIET)),
        overdue=of(Band.OVERDUE),
        unserviceable=of(Band.UNSERVICEABLE),
        no_basis=of(Band.NO_BASIS),
        out_of_phase=of(Band.OUT_OF_PHASE),
        is_later=is_later,
        counted_at=at,
    )
    return len(DayCounted.objects.bulk_create([row], ignore_conflicts=True))


# --- how early works were done ----------------------------------------------------------------


def judge_works(today: date, at: datetime) -> int:
    """This will judge works of units that were not yet, of the latest days first: until when their limit ran."""
    rows = to_judge(today - timedelta(days=DAYS - 1), today)
    days = list(rows.order_by("-done_on").values_list("done_on", flat=True).distinct()[:AT_A_TIME])
    by_day: dict[date, list[WorkDone]] = defaultdict(list)
    for work in rows.filter(done_on__in=days).order_by("pk"):
        by_day[work.done_on].append(work)
    made = [one for day, works in by_day.items() for one in _judged(day, works, at)]
    return len(WorkJudged.objects.bulk_create(made, ignore_conflicts=True))


def _judged(day: date, works: Sequence[WorkDone], at: datetime) -> list[WorkJudged]:
    """These works of one day, by the list of the evening before."""
    kept = dict(absorbed_units())
    keys = {work.pk: kept.get(work.unit_id or 0, work.unit_id or 0) for work in works}
    table = table_of(batch_of_units(units_listed(list(keys.values())), day - timedelta(days=1)))
    codes = dict(
        Limit.objects.filter(pk__in=np.unique(table["limit_id"]).tolist()).values_list("pk", "code")
    )
    return [
        WorkJudged(work_done=work, due_on=_due(table, codes, work, keys[work.pk]), judged_at=at)
        for work in works
    ]


def _due(table: Table, codes: dict[int, str], work: WorkDone, unit: int) -> date | None:
    """The first day on which a limit that the work was for would have run out."""
    mine = np.flatnonzero((table["unit_id"] == unit) & (table["work_id"] == work.work_id))
    days = [
        int(table["due_on"][row])
        for row in mine.tolist()
        if work.limit_code in ("", codes.get(int(table["limit_id"][row])))
        and table["due_on"][row] != NULL
    ]
    return date.fromordinal(min(days) + EPOCH) if days else None
