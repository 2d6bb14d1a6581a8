"""Tests of units that failed, and that nothing has answered since."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable
from datetime import date

from django.db.models.functions import Coalesce

from equipment.common.wording import unit_words
from equipment.models import Unit
from fleet.words.said import day_words
from scheduling.models import WorkDone


def failed_tests(
    units: Iterable[int], on: date, earned: Collection[str] = ()
) -> dict[int, list[str]]:
    """Sentences of the works of units that failed and were not done since, by unit: they hold it. A work
    whose code is among the ``earned`` ones is about to be done.

    Few works fail: these are asked for, and then whose they are, however many units are meant.
    """
    wanted = set(units)
    rows = WorkDone.objects.filter(done_on__lte=on, is_annulment=False, corrected_by=None)
    as_kept = Coalesce("unit__merged_into", "unit")
    failed = rows.filter(result="failed", unit__isnull=False).annotate(kept=as_kept)
    pairs = {pair for pair in failed.values_list("kept", "work").distinct() if pair[0] in wanted}
    if not pairs:
        return {}
    same = Unit.objects.same_as({unit for unit, _ in pairs})
    kept = {unit.pk: unit.merged_into_id or unit.pk for unit in same.only("merged_into")}
    rows = rows.filter(unit__in=kept, work__in={work for _, work in pairs})
    last = {
        (kept[row.unit_id or 0], row.work_id): row
        for row in rows.select_related("work", "unit__part_number").order_by("done_on", "pk")
    }
    found: dict[int, list[str]] = defaultdict(list)
    for (unit, _), row in last.items():
        if row.result == "failed" and row.unit is not None and row.work.code not in earned:
            day = day_words(row.done_on)
            found[unit].append(f"{unit_words(row.unit)}: its {row.work.name} of {day} failed.")
    return found
