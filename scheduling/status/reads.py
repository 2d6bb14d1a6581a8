"""The lines of a record of status: each unit under each of its limits, each clock with what is used and left."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

from django.db.models import Exists, F, OuterRef, QuerySet, Subquery

from equipment.common.wording import PLACE_PARTS, place_words
from equipment.models import FittedPeriod
from fleet.models import Aircraft
from scheduling.due.due_list import stored_day
from scheduling.due.lists.rows import DueRow
from scheduling.due.lists.words import rows_of
from scheduling.entries.compliance import last_works, unknown_serials
from scheduling.facts.items import Item
from scheduling.facts.rules import every_revision
from scheduling.models import Disposition, DueItem, Limit

from .clocks import ClockStands, clocks_of
from .sorts import DIRECTIVE, limits_of

#: So many items are reckoned at a time, however long the record.
AT_ONCE = 2_000


@dataclass(frozen=True, slots=True)
class StatusLine:
    """One subject under one limit: where it is, how each clock stands, by which document. Of a directive its
    case too (``disposition``; None: nobody decided) and how it was complied with last. ``row.band`` is empty
    of a case that is closed: nothing is due of it."""

    row: DueRow
    limit: Limit
    clocks: Sequence[ClockStands]
    disposition: Disposition | None = None
    method: str = ""

    @property
    def deciding(self) -> str:
        """Which clock ends first, where there are several."""
        return self.row.decided_by if len(self.clocks) > 1 else ""


@dataclass(frozen=True, slots=True)
class Status:
    """A record of status as of the day that the stored list holds for, of one aircraft or of all units.
    ``unknown`` are listed serial numbers of directives that no unit on record has."""

    sort: str
    as_of: date
    items: QuerySet[DueItem]
    closed: QuerySet[Disposition] | None
    unknown: Sequence[str] = ()

    @property
    def count(self) -> int:
        return self.items.count() + (self.closed.count() if self.closed is not None else 0)

    def lines(self, begin: int = 0, end: int | None = None) -> Iterator[StatusLine]:
        """The lines from one place to another, in their order; a fixed number of questions for each two thousand."""
        items = self.items.count()
        last = items if end is None else min(end, items)
        for at in range(begin, last, AT_ONCE):
            yield from self._of_items(self.items[at : min(at + AT_ONCE, last)])
        if self.closed is not None and (end is None or end > items):
            first, behind = max(begin - items, 0), None if end is None else end - items
            yield from _closed_lines(self.closed[first:behind])

    def _of_items(self, items: QuerySet[DueItem]) -> list[StatusLine]:
        found = [Item._make(getattr(one, name) for name in Item._fields) for one in items]
        clocks = clocks_of([item.id for item in found], self.as_of)
        limits = Limit.objects.in_bulk({item.limit_id for item in found})
        rows = rows_of(found, as_of=self.as_of, is_stored=True)
        lines = [
            StatusLine(row, limits[item.limit_id], clocks.get(item.id, []))
            for row, item in zip(rows, found, strict=True)
        ]
        return _with_cases(lines) if self.sort == DIRECTIVE else lines


def status_of(sort: str, aircraft: Aircraft | None, today: date) -> Status:
    """The record of a sort, of one aircraft or of every unit: as of the day that the stored list holds for."""
    limits = limits_of(sort)
    items = DueItem.objects.filter(limit__in=limits.values("pk"))
    if aircraft is not None:
        items = items.filter(aircraft=aircraft)
    items = items.order_by(
        F("aircraft__registration").asc(nulls_last=True),
        F("position__type_position__code").asc(nulls_last=True),
        F("part_number__number").asc(nulls_last=True),
        F("unit__serial_number").asc(nulls_last=True),
        "limit__code",
        "pk",
    )
    closed, unknown = None, []
    if sort == DIRECTIVE:
        closed, unknown = _closed(limits, aircraft), _unknown(limits)
    return Status(sort, stored_day() or today, items, closed, unknown)


# --- directives -------------------------------------------------------------------------------


def _latest() -> QuerySet[Disposition]:
    """Of each unit under each directive the disposition that holds."""
    last = Disposition.objects.filter(limit=OuterRef("limit"), unit=OuterRef("unit"))
    newest = Subquery(last.order_by("-on", "-pk").values("pk")[:1])
    return Disposition.objects.filter(pk=newest)


def _closed(limits: QuerySet[Limit], aircraft: Aircraft | None) -> QuerySet[Disposition]:
    """The cases of which nothing is due any more."""
    due = DueItem.objects.filter(limit=OuterRef("limit"), unit=OuterRef("unit"))
    rows = _latest().filter(~Exists(due), limit__in=limits.values("pk"), unit__merged_into=None)
    if aircraft is not None:
        there = FittedPeriod.objects.filter(aircraft=aircraft, to_at=None)
        rows = rows.filter(unit__in=there.values("unit"))
    return rows.order_by("limit__code", "unit__part_number__number", "unit__serial_number", "pk")


def _closed_lines(rows: QuerySet[Disposition]) -> list[StatusLine]:
    names = ("limit__work", "unit__part_number__maker", "recorded_by")
    found = list(rows.select_related(*names, *(f"unit__place__{part}" for part in PLACE_PARTS)))
    methods = _methods({(one.limit_id, one.unit_id): one.limit for one in found})
    return [
        StatusLine(_row_of(one), one.limit, (), one, methods.get((one.limit_id, one.unit_id), ""))
        for one in found
    ]


def _row_of(one: Disposition) -> DueRow:
    unit = one.unit
    return DueRow(
        0,
        "",
        one.limit.work.name,
        one.limit.code,
        position=place_words(unit.place),
        unit_id=unit.pk,
        part_number=unit.part_number.number,
        serial_number=unit.serial_number,
        description=unit.part_number.description,
        maker=unit.part_number.maker.code,
    )


def _with_cases(lines: Sequence[StatusLine]) -> list[StatusLine]:
    keys = {(line.limit.pk, line.row.unit_id or 0): line.limit for line in lines}
    latest = {
        (one.limit_id, one.unit_id): one
        for one in _latest().filter(
            limit__in={limit for limit, _ in keys}, unit__in={unit for _, unit in keys}
        )
    }
    methods = _methods(keys)
    return [
        replace(line, disposition=latest.get(key), method=methods.get(key, ""))
        for line in lines
        for key in [(line.limit.pk, line.row.unit_id or 0)]
    ]


def _methods(keys: dict[tuple[int, int], Limit]) -> dict[tuple[int, int], str]:
    """How each of these was complied with last. One question for each directive."""
    found = {}
    for limit in {limit.pk: limit for limit in keys.values()}.values():
        done = last_works(limit, [unit for key, unit in keys if key == limit.pk])
        found.update({(limit.pk, unit): words for unit, words in done.items()})
    return found


def _unknown(limits: QuerySet[Limit]) -> list[str]:
    """``QAA-AD-26-04 (a): T4107`` for each directive that lists a number no unit has."""
    wanted = {one.pk: one for one in limits}
    rules = [rule for _, _, rule in every_revision() if rule.id in wanted]
    return [
        f"{wanted[key].document} {wanted[key].paragraph}: {', '.join(numbers)}".replace(" :", ":")
        for key, numbers in unknown_serials(rules).items()
    ]
