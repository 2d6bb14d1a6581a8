"""What changed since the list of the day before, in lines that a meeting reads: what, why, by whom."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import date, datetime

import numpy as np

from equipment.models import OpenItem, OpenItemClosed
from fleet.models import Check
from scheduling.due.lists.names import names_of
from scheduling.due.lists.rows import DueRow
from scheduling.due.lists.words import row_of
from scheduling.engine.basis.bands import Band
from scheduling.facts.due_table import items_of, stored
from scheduling.facts.items import subject_of
from scheduling.models import DueItem, ItemBefore, RecomputeRun

from ..compared import SAME, Cause, cause_gone, cause_new, cause_of
from ..due_list import stored_day
from .differing import Differing, Pair, differing
from .whose import About, Whose, about, whose

BEFORE = "scheduling_itembefore"
LISTED = ("new", "gone", "moved")


@dataclass(frozen=True, slots=True)
class Changed:
    """One item that is new, gone or moved: as it stands (where it is gone, as it stood), where it stood, why,
    and whose record that was. ``item_id`` is None of what is no longer on the list."""

    item_id: int | None
    row: DueRow
    was_band: str
    was_due_on: date | None
    why: str
    whose: Whose | None = None


@dataclass(frozen=True, slots=True)
class Since:
    """What changed since the list of ``on``, as it stood at ``at``: the first of each, and how many in all.
    ``by_use`` items are projected otherwise by what their aircraft flew, in the same band."""

    on: date
    at: datetime
    new: list[Changed] = field(default_factory=list)
    gone: list[Changed] = field(default_factory=list)
    moved: list[Changed] = field(default_factory=list)
    totals: dict[str, int] = field(default_factory=dict)

    @property
    def by_use(self) -> int:
        return self.totals.get("use", 0)

    @property
    def parts(self) -> list[tuple[str, str, list[Changed], int]]:
        """(heading, sort, the first of them, how many more)."""
        lists = (("New", "new"), ("Gone", "gone"), ("Moved", "moved"))
        return [
            (title, sort, getattr(self, sort), self.totals.get(sort, 0) - len(getattr(self, sort)))
            for title, sort in lists
        ]


def since_before(today: date, most: int) -> Since | None:
    """What changed since the list that today's took the place of, ``most`` of each sort; None where none was
    kept, or today's is not made yet. A fixed number of questions."""
    run = RecomputeRun.objects.filter(kept_at__isnull=False).order_by("-kept_at", "-pk").first()
    if run is None or run.kept_on is None or run.kept_at is None or run.kept_on >= today:
        return None
    if stored_day() != today:
        return None
    found = Since(run.kept_on, run.kept_at)
    differs = differing(most)
    found.totals.update(
        {sort: differs.totals.get(sort, 0) for sort in ("new", "gone", "moved", "use")}
    )
    changed = _changed(differs, found, today)
    opened, closed = _open_items(run.kept_at)
    for sort, more in (("new", opened), ("gone", closed)):
        found.totals[sort] += len(more)
        getattr(found, sort).extend([*changed[sort], *more][:most])
    found.moved.extend(changed["moved"])
    return found


@dataclass(frozen=True, slots=True)
class _Lists:
    """The rows of both lists that are asked about, and which units each list has."""

    today: date
    now: dict[int, DueRow]
    before: dict[int, DueRow]
    units_now: set[int | None]
    units_before: set[int | None]

    def rows(self, pair: Pair) -> tuple[DueRow | None, DueRow | None]:
        return self.now.get(pair.now_id or 0), self.before.get(pair.was_id or 0)

    def cause(self, pair: Pair) -> Cause:
        row, was = self.rows(pair)
        if row is not None and was is not None:
            return cause_of(was, row, self.today)
        if row is not None:
            return cause_new(row, is_known=row.unit_id in self.units_before)
        return cause_gone(was, is_known=was.unit_id in self.units_now) if was is not None else SAME


def _changed(differs: Differing, since: Since, today: date) -> dict[str, list[Changed]]:
    now, before = _rows_now(differs.ids(is_now=True), today), _rows_before(differs, since.on)
    lists = _Lists(today, now, before, _units_now(before.values()), _units_before(now.values()))
    causes: dict[Pair, tuple[Cause, About]] = {}
    for pair in (one for sort in LISTED for one in differs.pairs.get(sort, [])):
        limits = {subject_of(key)[1] for key in pair if key}
        causes[pair] = lists.cause(pair), about(lists.rows(pair), limits)
    people = whose(causes, since.at)
    found: dict[str, list[Changed]] = {sort: [] for sort in LISTED}
    for sort in LISTED:
        for pair in differs.pairs.get(sort, []):
            row, was = lists.rows(pair)
            if causes[pair][0] != SAME and (shown := row or was) is not None:
                band, due_on = (was.band, was.due_on) if was else ("", None)
                why = causes[pair][0].words
                line = Changed(pair.now_id, shown, band, due_on, why, people.get(pair))
                found[sort].append(line)
    return found


def _rows_now(ids: list[int], today: date) -> dict[int, DueRow]:
    table = stored("d.id = ANY(%s)", [ids])
    items = items_of(table, np.arange(len(table["id"])))
    names = names_of(items)
    return {item.id: row_of(item, names, today, True) for item in items}


def _rows_before(differs: Differing, on: date) -> dict[int, DueRow]:
    """The rows of the kept list as it stood, each check on the day for which it was planned then."""
    ids = differs.ids(is_now=False)
    table = stored("d.id = ANY(%s)", [ids], BEFORE)
    items = items_of(table, np.arange(len(table["id"])))
    names = names_of(items)
    then = dict(ItemBefore.objects.filter(pk__in=ids).values_list("pk", "check_starts_on"))
    checks = {item.check_planned_id for item in items if item.check_planned_id}
    called = dict(Check.objects.filter(pk__in=checks).values_list("pk", "name"))
    return {
        item.id: replace(
            row_of(item, names, on, False),
            check_name=called.get(item.check_planned_id or 0, ""),
            check_starts_on=then.get(item.id),
        )
        for item in items
    }


def _units_now(rows: Iterable[DueRow]) -> set[int | None]:
    keys = [row.unit_id for row in rows]
    there = DueItem.objects.filter(unit__in=[key for key in keys if key])
    return set(there.exclude(band=int(Band.QUIET)).values_list("unit_id", flat=True))


def _units_before(rows: Iterable[DueRow]) -> set[int | None]:
    keys = [row.unit_id for row in rows]
    there = ItemBefore.objects.filter(unit_id__in=[key for key in keys if key])
    return set(there.values_list("unit_id", flat=True))


def _open_items(since: datetime) -> tuple[list[Changed], list[Changed]]:
    """Open items opened and closed since; what was both is neither. One question each."""
    rows = OpenItem.objects.select_related("aircraft", "recorded_by", "closed__recorded_by")
    opened = rows.filter(recorded_at__gt=since, closed=None).order_by("expires_on", "pk")
    closed = rows.filter(recorded_at__lte=since, closed__recorded_at__gt=since)
    return (
        [_of_open_item(one, "opened since", one) for one in opened],
        [
            _of_open_item(one, "closed since", one.closed)
            for one in closed.order_by("expires_on", "pk")
        ],
    )


def _of_open_item(one: OpenItem, why: str, record: OpenItem | OpenItemClosed) -> Changed:
    row = DueRow(0, "", "Open item", one.document, one.aircraft.registration, one.aircraft_id)
    row = replace(row, description=one.words, due_on=one.expires_on)
    told = Whose(record.recorded_by.shown_name, record.recorded_at)
    return Changed(None, row, "", one.expires_on, why, told)
