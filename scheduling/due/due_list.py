"""The due list as screens, export, command and API read it: one way, whichever door.

For the day that the stored list holds for, rows come from the stored items by an index. For any
other day they are reckoned for the page by the same engine, banded and ordered in the same way.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import date
from typing import Protocol

from django.db.models import Q

from scheduling.due.lists.filters import DueFilters
from scheduling.due.lists.rows import MOST_COUNTED, DuePage, DueRow, Explanation
from scheduling.due.lists.scope import BAND_CODES, Scope, scope_of
from scheduling.due.lists.words import rows_of, taken_off_words
from scheduling.facts.items import Item
from scheduling.models import RecomputeRun

from .beside import Beside, beside, is_beside
from .lists import explained, marks, reckoned, stored
from .lists.marks import Key
from .open_items.listed import StoredAndOpen


class Source(Protocol):
    """A list in its order, wherever it comes from."""

    def page(
        self, scope: Scope, size: int, after: Key | None = None, is_backwards: bool = False
    ) -> list[tuple[Item, Key]]: ...
    def everything(self, scope: Scope, at_once: int = 2000) -> Iterator[list[Item]]: ...
    def counts(self, scope: Scope) -> list[int]: ...
    def grounding(self, scope: Scope) -> int: ...


BACK = "b"  # before a mark that leads backwards


def stored_day() -> date | None:
    """The day that the stored items hold for: that of the latest finished run over every unit.

    None while a run for another day has begun and not ended, killed or not: then the stored items
    are of two days, and lists are reckoned.
    """
    runs = RecomputeRun.objects.filter(unit_ids=None)
    finished = runs.filter(finished_at__isnull=False).order_by("-finished_at", "-pk")
    begun = Q(finished_at=None, started_at__isnull=False)
    told = runs.filter(begun | Q(pk=finished.values("pk")[:1])).order_by("-finished_at")
    days = list(told.values_list("as_of", "finished_at"))
    day = next((as_of for as_of, finished_at in days if finished_at), None)
    return day if all(as_of == day for as_of, _ in days) else None


def due_page(*, filters: DueFilters, as_of: date, mark: str = "", limit: int = 50) -> DuePage:
    """One page of the list as of a day, with the counts of each band. A fixed number of queries.

    Refuses codes that nobody entered (``unknown_station`` and the like) and a made-up mark.
    """
    scope = scope_of(filters)
    is_stored = stored_day() == as_of
    more = beside(as_of, is_stored=is_stored)
    source = _source(scope, as_of, more, is_stored=is_stored)
    is_back = mark.startswith(BACK)
    shape = stored.shape_of(scope.sort)
    after = marks.key_of(mark[1:], scope.sort, shape) if mark else None
    found = source.page(scope, limit + 1, after, is_back)
    is_more, found = len(found) > limit, found[:limit]
    if is_back:
        found.reverse()
    counted = dict(zip(BAND_CODES, source.counts(scope), strict=True))
    has_next, has_previous = (bool(found), is_more) if is_back else (is_more, bool(mark and found))
    return DuePage(
        rows=_in_words([item for item, _ in found], more, as_of, is_stored),
        counts=counted,
        grounding=source.grounding(scope),
        total=counted[filters.band] if filters.band else _total(counted),
        next_after="n" + marks.mark_of(scope.sort, found[-1][1]) if has_next else "",
        previous_before=BACK + marks.mark_of(scope.sort, found[0][1]) if has_previous else "",
        is_stored=is_stored,
    )


def taken_off(unit_id: int, rows: list[DueRow], as_of: date) -> str:
    """In a sentence, what inside a unit takes it off before its own items (these rows) do; else empty."""
    return taken_off_words(unit_id, rows, as_of, stored_day() == as_of)


def _total(counted: dict[str, int]) -> int:
    """The sum, one above ``MOST_COUNTED`` where any of the counts stopped."""
    total = sum(counted.values())
    stopped = any(count > MOST_COUNTED for count in counted.values())
    return min(total, MOST_COUNTED + 1) if stopped else total


def due_rows(*, filters: DueFilters, as_of: date) -> Iterator[DueRow]:
    """Every row of the list as of a day, in its order: for exports and the command.

    Refuses at once, before the first row is asked for, codes that nobody entered.
    """
    scope = scope_of(filters)
    is_stored = stored_day() == as_of
    more = beside(as_of, is_stored=is_stored)
    batches = _source(scope, as_of, more, is_stored=is_stored).everything(scope)
    return _rows(batches, more, as_of, is_stored)


def _rows(
    batches: Iterator[list[Item]], more: Beside, as_of: date, is_stored: bool
) -> Iterator[DueRow]:
    for items in batches:
        yield from _in_words(items, more, as_of, is_stored)


def _in_words(items: list[Item], more: Beside, as_of: date, is_stored: bool) -> list[DueRow]:
    return more.with_words(rows_of(items, as_of=as_of, is_stored=is_stored))


def _source(scope: Scope, as_of: date, more: Beside, *, is_stored: bool) -> Source:
    """Where the list of a day is read, what is not stored of it in its place."""
    table = more.table(as_of)
    if not is_stored:
        return reckoned.listed(scope, as_of, table)
    return StoredAndOpen(reckoned.ReckonedList(table, scope)) if more else stored


def counts_by_aircraft(as_of: date) -> Counter[tuple[int, int]]:
    """How many rows stand beside the stored items in each band, by aircraft and band."""
    return Counter(beside(as_of, is_stored=True).bands())


def grounding_items(aircraft_ids: Sequence[int] | None, as_of: date) -> list[Item]:
    """The items that ground these aircraft (all: None) as of a day, most urgent first."""
    one = aircraft_ids[0] if aircraft_ids is not None and len(aircraft_ids) == 1 else None
    scope = Scope(grounds=True, aircraft_id=one)
    wanted = None if aircraft_ids is None else set(aircraft_ids)
    return [
        item
        for items in _source(scope, as_of, Beside(), is_stored=stored_day() == as_of).everything(
            scope
        )
        for item in items
        if wanted is None or item.aircraft_id in wanted
    ]


def explanation(*, item_id: int, as_of: date) -> Explanation | None:
    """One due item explained by the engine as of a day; None if there is no such item then."""
    return next(iter(explanations(item_ids=[item_id], as_of=as_of)), None)


def explanations(*, item_ids: list[int], as_of: date) -> list[Explanation]:
    """Items explained as of a day, a batch at a time: the same reckoning as the list's own."""
    found = {
        why.row.id: why
        for why in (
            *explained.explanations([key for key in item_ids if not is_beside(key)], as_of),
            *_without_limit([key for key in item_ids if is_beside(key)], as_of),
        )
    }
    return [found[key] for key in item_ids if key in found]


def _without_limit(item_ids: list[int], as_of: date) -> Iterator[Explanation]:
    if item_ids:
        more = beside(as_of, is_stored=stored_day() == as_of)
        for row in due_rows(filters=DueFilters(ids=tuple(item_ids)), as_of=as_of):
            yield more.explained(row)
