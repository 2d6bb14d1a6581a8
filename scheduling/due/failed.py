"""Tests of units that failed, and that nothing has answered since."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable
from datetime import date

from equipment.common.wording import unit_words
from equipment.models import Unit
from fleet.words.said import day_words
from scheduling.models import WorkDone


def failed_tests(
    units: Iterable[int], on: date, earned: Collection[str] = ()
) -> dict[int, list[str]]:
    """Sentences of the works of units that failed and were not done since, by unit: they hold it. A work
    whose code is among the ``earned`` ones is about to be done."""
    kept = {unit: unit for unit in units}
    for absorbed, into in Unit.objects.filter(merged_into__in=kept).values_list(
        "pk", "merged_into"
    ):
        kept[absorbed] = into or absorbed
    rows = WorkDone.objects.filter(
        unit__in=kept, done_on__lte=on, is_annulment=False, corrected_by=None
    )
    failed = rows.filter(result="failed").values_list("unit", "work").distinct()
    if not (pairs := list(failed)):
        return {}
    rows = rows.filter(unit__in={unit for unit, _ in pairs}, work__in={work for _, work in pairs})
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
