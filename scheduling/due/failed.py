"""Works that failed, and that nothing has answered since: tests of units, works on positions and aircraft."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from django.db.models.functions import Coalesce

from equipment.common.wording import unit_words
from equipment.models import OpenItem, Unit
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


@dataclass(frozen=True, slots=True)
class FailedWork:
    """A work on an aircraft as such (``position`` is empty) or on a position of one that failed and was not passed
    since. ``until`` is the last day of the document that lets it stay so, found since; None if none does."""

    aircraft_id: int
    position_id: int | None
    position: str
    work: str
    done_on: date
    until: date | None = None

    def grounds(self, on: date) -> bool:
        return self.until is None or self.until < on


def failed_works(aircraft_ids: Sequence[int] | None, on: date) -> list[FailedWork]:
    """Of these aircraft (all: None) as of a day. Few works fail: these are asked for, then what came after them."""
    rows = WorkDone.objects.filter(done_on__lte=on, is_annulment=False, corrected_by=None)
    rows = rows.filter(unit=None).annotate(craft=Coalesce("aircraft", "position__aircraft"))
    failed = rows.filter(result="failed")
    if aircraft_ids is not None:
        failed = failed.filter(craft__in=list(aircraft_ids))
    keys = set(failed.values_list("craft", "work"))
    if not keys:
        return []
    rows = rows.filter(craft__in={craft for craft, _ in keys}, work__in={work for _, work in keys})
    named = rows.select_related("work", "position__type_position").order_by("done_on", "pk")
    last = {(row.craft, row.position_id, row.work_id): row for row in named}
    standing = [(craft, row) for (craft, *_), row in last.items() if row.result == "failed"]
    documents = _documents({craft for craft, _ in standing}, on)
    return [
        FailedWork(
            craft,
            row.position_id,
            row.position.type_position.code if row.position else "",
            row.work.name,
            row.done_on,
            max(
                (
                    until
                    for found_on, until in documents.get((craft, row.position_id), ())
                    if found_on >= row.done_on
                ),
                default=None,
            ),
        )
        for craft, row in standing
    ]


def _documents(
    aircraft: set[int], on: date
) -> dict[tuple[int, int | None], list[tuple[date, date]]]:
    """The open items of each aircraft as such and of each position: since which day, and good until when."""
    found: dict[tuple[int, int | None], list[tuple[date, date]]] = defaultdict(list)
    if not aircraft:
        return found
    rows = OpenItem.objects.filter(aircraft__in=aircraft, found_on__lte=on)
    rows = rows.exclude(closed__closed_on__lte=on)
    told = ("aircraft", "place", "place__aircraft_position", "found_on", "expires_on")
    for craft, place, position, found_on, until in rows.values_list(*told):
        # One inside a unit is of that unit, and lets no work on the aircraft stay failed.
        if place is None or position is not None:
            found[craft, position].append((found_on, until))
    return found
