"""Works that failed, and that nothing has answered since: tests of units, works on positions and aircraft."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Hashable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TypeVar

from django.db.models.functions import Coalesce

from equipment.common.wording import unit_words
from equipment.models import OpenItem, Unit
from fleet.words.said import day_words
from scheduling.models import WorkDone

Subject = TypeVar("Subject", bound=Hashable)


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
    rows = rows.select_related("work", "unit__part_number").order_by("done_on", "pk")
    found: dict[int, list[str]] = defaultdict(list)
    for unit, row in unanswered((kept[row.unit_id or 0], row) for row in rows):
        if row.unit is not None and row.work.code not in earned:
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
    rows = rows.select_related("work", "position__type_position").order_by("done_on", "pk")
    standing = [
        (craft, row)
        for (craft, _), row in unanswered(((row.craft, row.position_id), row) for row in rows)
    ]
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
                    each.expires_on
                    for each in documents.get((craft, row.position_id), ())
                    if each.found_on >= row.done_on and _lets_stay(each, row)
                ),
                default=None,
            ),
        )
        for craft, row in standing
    ]


def unanswered(rows: Iterable[tuple[Subject, WorkDone]]) -> list[tuple[Subject, WorkDone]]:
    """Of works in the order in which they were done, each with its subject: the failed ones that none passed since
    answers. One passed for all limits answers every failure of its work, one for a single limit that limit's alone."""
    standing: dict[tuple[Subject, int], dict[str, WorkDone]] = defaultdict(dict)
    for subject, row in rows:
        failed = standing[subject, row.work_id]
        if row.result == "failed":
            failed[row.limit_code] = row
        elif row.limit_code:
            failed.pop(row.limit_code, None)
        else:
            failed.clear()
    return [(subject, row) for (subject, _), each in standing.items() for row in each.values()]


def _documents(aircraft: set[int], on: date) -> dict[tuple[int, int | None], list[OpenItem]]:
    """The open items of each aircraft as such and of each of its positions."""
    found: dict[tuple[int, int | None], list[OpenItem]] = defaultdict(list)
    if not aircraft:
        return found
    rows = OpenItem.objects.filter(aircraft__in=aircraft, found_on__lte=on)
    for item in rows.exclude(closed__closed_on__lte=on).select_related("place"):
        position = item.place.aircraft_position_id if item.place else None
        # One inside a unit is of that unit, and lets no work on the aircraft stay failed.
        if item.place is None or position is not None:
            found[item.aircraft_id, position].append(item)
    return found


def _lets_stay(item: OpenItem, work: WorkDone) -> bool:
    """One at the position is of the position. Of the aircraft as such many are open, each of something else: only one
    that names the work is of it."""
    return work.position_id is not None or work.work.name.casefold() in item.words.casefold()
