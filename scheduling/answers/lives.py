"""How long units have been in service, in hours and cycles: since new, and since they were overhauled last."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

import numpy as np
from django.db.models import Q

from equipment.models import Certificate, LifeStatement, Unit
from equipment.units.ports import LifeTotals, Overhauled
from fleet.models import Measure
from fleet.words.said import day_words
from scheduling.engine.basis.result import Missing
from scheduling.engine.telling.flags import missing_words
from scheduling.engine.totals.subjects import Reckoner
from scheduling.engine.totals.usage import end_of
from scheduling.facts.batch import batch_of_units, units_listed
from scheduling.facts.measures import cycles_of, hours_of
from scheduling.models import WorkDone

#: How a work, or the status of a certificate, names it: the trade's word.
OVERHAUL = "overhaul"


@dataclass(slots=True)
class _Overhaul:
    """The last one: its day and the unit's totals then, where they were recorded, by measure. ``is_whole``:
    a certificate says so, under which the unit came; what it flew since is all on our records.
    ``stated`` are totals since overhaul with their days, as papers state them."""

    on: date | None = None
    words: str = ""
    totals: dict[int, int] = field(default_factory=dict)
    is_whole: bool = False
    stated: dict[int, tuple[date, int]] = field(default_factory=dict)


def lives_of(unit_ids: Sequence[int], on: date) -> dict[int, LifeTotals]:
    """The totals of units at the end of a day, by their keys; a fixed number of questions for any number.

    Since new: the latest statement and what was flown on aircraft after it. Since overhaul: what was
    flown after the last work or certificate that is called an overhaul, or after the last statement since
    overhaul, whichever is later. What cannot be known is None, and it is said for lack of what.
    """
    rows = Unit.objects.filter(pk__in=unit_ids).values_list("pk", "merged_into")
    kept = {unit: merged or unit for unit, merged in rows}
    if not kept:
        return {}
    order = sorted(set(kept.values()))
    batch = batch_of_units(units_listed(order), on)
    every = batch.rules.measures
    counted = {
        name: every.index(one)
        for name, one in (("minutes", hours_of(every)), ("cycles", cycles_of(every)))
        if one is not None
    }
    last = _overhauls(order, on, {name: every[index].pk for name, index in counted.items()})
    reckoner = Reckoner(batch.facts, np.datetime64(on, "D"))
    told = {
        unit: _told(reckoner, row, counted, last.get(unit), on) for row, unit in enumerate(order)
    }
    return {unit: told[root] for unit, root in kept.items()}


def _told(
    reckoner: Reckoner, row: int, counted: Mapping[str, int], last: _Overhaul | None, on: date
) -> LifeTotals:
    new, lacks = {}, 0
    for name, measure in counted.items():
        new[name], lacking = _since_new(reckoner, row, measure)
        lacks |= lacking
    return LifeTotals(
        on,
        new.get("minutes"),
        new.get("cycles"),
        ", ".join(missing_words(lacks)),
        _overhauled(reckoner, row, counted, last) if last is not None else None,
    )


def _since_new(reckoner: Reckoner, row: int, measure: int) -> tuple[int | None, int]:
    now = reckoner.units(measure).now(np.array([row]))
    if now.relative[0]:
        return None, int(Missing.LIFE_STATEMENT)
    return (None, int(now.missing[0])) if now.missing[0] else (int(now.total[0]), 0)


def _overhauled(
    reckoner: Reckoner, row: int, counted: Mapping[str, int], last: _Overhaul
) -> Overhauled:
    since, lacks = {}, 0
    for name, measure in counted.items():
        since[name], lacking = _since(reckoner, row, measure, last)
        lacks |= lacking
    return Overhauled(
        last.on,
        last.words,
        since.get("minutes"),
        since.get("cycles"),
        ", ".join(missing_words(lacks)),
    )


def _since(reckoner: Reckoner, row: int, measure: int, last: _Overhaul) -> tuple[int | None, int]:
    """What was flown since the overhaul: from the statement that is later than it, from the total that
    was recorded at it, or from what our records have flown since."""
    unit, units = np.array([row]), reckoner.units(measure)
    now = np.full(1, reckoner.aircraft.now)
    stated = last.stated.get(measure)
    if stated is not None and (last.on is None or stated[0] >= last.on):
        begun = end_of(np.array([stated[0]], "datetime64[D]"))
        flown, unread = units.flown(unit, begun, now)
        return (None, int(Missing.READING)) if unread[0] else (stated[1] + int(flown[0]), 0)
    if last.on is None:
        return None, int(Missing.TOTAL_AT_START)
    total, _ = _since_new(reckoner, row, measure)
    if measure in last.totals and total is not None:
        return max(0, total - last.totals[measure]), 0
    begun = reckoner.periods.fitted_that_day(unit, np.array([last.on], "datetime64[D]"))
    if not (last.is_whole or units.is_recorded(unit, begun)[0]):
        return None, int(Missing.TOTAL_AT_START)
    flown, unread = units.flown(unit, begun, now)
    return (None, int(Missing.READING)) if unread[0] else (int(flown[0]), 0)


# --- overhauls --------------------------------------------------------------------------------


def _overhauls(
    units: Collection[int], on: date, measures: Mapping[str, int]
) -> dict[int, _Overhaul]:
    """The last overhaul of each of these units by a day; what was never overhauled is missing."""
    kept = {unit: unit for unit in units}
    absorbed = Unit.objects.filter(merged_into__in=kept).values_list("pk", "merged_into")
    kept |= {unit: into or unit for unit, into in absorbed}
    index = {
        key: number
        for number, key in enumerate(Measure.objects.order_by("pk").values_list("pk", flat=True))
    }
    columns = {name: index[key] for name, key in measures.items()}
    found: dict[int, _Overhaul] = {}
    papers = _certified(kept, on, found)
    _worked(kept, on, columns, found, papers)
    rows = LifeStatement.objects.filter(
        unit__in=kept, since=OVERHAUL, stated_on__lte=on, corrected_by=None
    )
    for row in rows.order_by("stated_on", "pk"):
        one = found.setdefault(kept[row.unit_id], _Overhaul(words=f"stated by {row.source}"))
        one.stated[index[row.measure_id]] = (row.stated_on, row.total)
    return found


def _certified(
    kept: Mapping[int, int], on: date, found: dict[int, _Overhaul]
) -> set[tuple[int, str]]:
    """Takes the certificates that say so; answers with (unit, number) of each."""
    rows = Certificate.objects.filter(
        unit__in=kept, status__istartswith=OVERHAUL, issued_on__lte=on
    )
    numbers = set()
    for row in rows.order_by("issued_on", "pk"):
        words = f"{row.form} {row.tracking_number}, {row.issuer}, {day_words(row.issued_on)}"
        found[kept[row.unit_id]] = _Overhaul(row.issued_on, words, is_whole=True)
        numbers.add((kept[row.unit_id], row.tracking_number))
    return numbers


def _worked(
    kept: Mapping[int, int],
    on: date,
    columns: Mapping[str, int],
    found: dict[int, _Overhaul],
    papers: set[tuple[int, str]],
) -> None:
    """Takes the works that are called so. One that a certificate certifies is that same overhaul, on the day
    of the work."""
    rows = WorkDone.objects.filter(
        unit__in=kept, done_on__lte=on, result="passed", is_annulment=False, corrected_by=None
    )
    rows = rows.filter(Q(work__name__icontains=OVERHAUL) | Q(work__code__icontains=OVERHAUL))
    for row in rows.select_related("work").order_by("done_on", "pk"):
        unit = kept[row.unit_id or 0]
        before, is_whole = found.get(unit), (unit, row.certificate) in papers
        if (
            before is not None
            and before.on is not None
            and before.on > row.done_on
            and not is_whole
        ):
            continue
        paper = f", {row.document}" if row.document else ""
        totals = {"minutes": row.total_minutes, "cycles": row.total_cycles}
        found[unit] = _Overhaul(
            row.done_on,
            f"{row.work.name}{paper}, {day_words(row.done_on)}",
            {
                columns[name]: total
                for name, total in totals.items()
                if name in columns and total is not None
            },
            is_whole,
        )
