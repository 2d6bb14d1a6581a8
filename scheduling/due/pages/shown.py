"""From rows to what a template draws: lines, links that change one thing of a view, bands."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any
from urllib.parse import parse_qsl

from fleet.drawing.lifeline import LifeLine
from fleet.house.pages import today
from fleet.words.said import count_words, day_words, days_words
from scheduling.due.lists.rows import (
    BANDS,
    MOST_COUNTED,
    SORTS,
    ClockLine,
    DuePage,
    DueRow,
    Explanation,
)

from .columns import COLUMNS, USUAL, Column
from .forms import DueFilterForm

PAGE_ROWS = 50
SORTED_BY = dict(SORTS)
NOT_NARROWING = {"as_of", "sort", "down"}


@dataclass(frozen=True, slots=True)
class Band:
    """One count on top of the list."""

    code: str
    word: str
    count: str
    is_empty: bool
    href: str
    is_here: bool


@dataclass(frozen=True, slots=True)
class Head:
    """One column's head: where it leads, and how the list is sorted by it now."""

    code: str
    label: str
    href: str
    sorted: str
    is_number: bool = False


@dataclass(frozen=True, slots=True)
class Item:
    """A row with its line, and its band as its row says it."""

    row: DueRow
    line: LifeLine
    tone: str = ""
    band: str = ""


def line_of(row: DueRow, as_of: date) -> LifeLine:
    """The row as a life line on the aircraft's checks."""
    return LifeLine(
        today=as_of,
        label=row.work,
        start_on=row.start_on,
        due_on=row.due_on,
        worst_on=row.worst_on,
        until_on=row.until_on,
        checks=row.checks,
        is_spent=is_spent(row),
    )


def items_of(rows: list[DueRow], as_of: date) -> list[Item]:
    return [Item(row, line_of(row, as_of), *band_said(row)) for row in rows]


@dataclass(frozen=True, slots=True)
class Paging:
    """Which page of how many: ``2`` of ``41``, or of ``41+`` where nobody counted to the end."""

    number: int
    most: str

    @classmethod
    def of(cls, number: int, total: int) -> Paging:
        pages = max(1, -(-min(total, MOST_COUNTED) // PAGE_ROWS), number)
        return cls(number, count_words(pages) + ("+" if total > MOST_COUNTED else ""))


def list_context(
    form: DueFilterForm,
    page: DuePage,
    as_of: date,
    columns: tuple[str, ...] = USUAL,
    number: int = 1,
) -> dict[str, Any]:
    """What the list's template needs beside its form. ``number``: which page it is."""
    given = form.cleaned_data
    hidden = [field.name for field in form.hidden_fields()]
    return {
        "page": page,
        "as_of": as_of,
        "items": items_of(page.rows, as_of),
        "bands": [_band(form, page, code, word) for code, word in BANDS],
        "all_bands": _all(form, page),
        "grounding": _grounding(form, page),
        "heads": [_head(form, column) for column in COLUMNS if column.code in columns],
        "columns": columns,
        "columns_query": ".".join(columns),
        "every_column": [each for each in COLUMNS if not each.is_fixed],
        "width": len(columns) + 1,
        "paging": Paging.of(number, page.total),
        "total_words": count_said(page.total),
        "narrowed_by": narrowed_by(form),
        "kept": [
            (name, "on" if given[name] is True else given[name]) for name in hidden if given[name]
        ],
        "asked": parse_qsl(form.address()[1:]),
        "next_href": page.next_after and form.address(mark=page.next_after, page=number + 1),
        "previous_href": page.previous_before and _before(form, page, number),
        "first_href": form.address() if number > 2 else "",
        "as_of_query": _as_of_query(as_of, bool(given["as_of"])),
        "is_narrowed": any(given[name] for name in given if name not in NOT_NARROWING),
    }


def why_context(why: Explanation, as_of: date, is_asked: bool) -> dict[str, Any]:
    """What an explanation's template needs: its clocks as lines, the winner first."""
    lines = [_clock_line(why, clock, as_of) for clock in why.clocks]
    return {
        "why": why,
        "row": why.row,
        "lines": lines,
        "as_of": as_of,
        "as_of_query": _as_of_query(as_of, is_asked),
        "is_now": as_of == today(),
    }


def _clock_line(why: Explanation, clock: ClockLine, as_of: date) -> LifeLine:
    """One clock; where the item has no basis its end is only the worst that it could be."""
    winner = why.clocks[0]
    detail = "decides" if clock is winner and len(why.clocks) > 1 else ""
    if clock is not winner and clock.due_on and winner.due_on:
        apart = (clock.due_on - winner.due_on).days
        detail = f"{days_words(abs(apart))} {'earlier' if apart < 0 else 'later'}"
    is_known = why.row.band != "no-basis"
    return LifeLine(
        today=as_of,
        label=clock.label,
        start_on=clock.start_on,
        due_on=clock.due_on if is_known else None,
        worst_on=None if is_known else clock.due_on,
        checks=why.row.checks,
        detail=detail,
        is_spent=clock is winner and is_spent(why.row),
    )


def is_spent(row: DueRow) -> bool:
    """Past its limit on a day that nobody can name, such as by an hour meter."""
    return row.band == "overdue" and row.due_on is None


def _as_of_query(as_of: date, is_asked: bool) -> str:
    return f"?as_of={as_of:%Y-%m-%d}" if is_asked else ""


def _band(form: DueFilterForm, page: DuePage, code: str, word: str) -> Band:
    count = page.counts.get(code, 0)
    is_here = form.cleaned_data["band"] == code
    return Band(code, word, count_said(count), not count, form.address(band=code), is_here)


def _grounding(form: DueFilterForm, page: DuePage) -> Band:
    """What grounds its aircraft, of whatever band; shown again it leads back to the whole list."""
    is_here = bool(form.cleaned_data["grounds"])
    href = form.address(grounds="" if is_here else True)
    count = page.grounding
    return Band("overdue", "grounds its aircraft", count_said(count), not count, href, is_here)


def _all(form: DueFilterForm, page: DuePage) -> Band:
    """Every band together; where one stopped counting, so does the sum."""
    counts = page.counts.values()
    most = sum(min(count, MOST_COUNTED) for count in counts)
    more = any(count > MOST_COUNTED for count in counts)
    words = count_words(most) + ("+" if more else "")
    return Band("", "in all", words, False, form.address(band=""), not form.cleaned_data["band"])


def count_said(count: int) -> str:
    """A count as shown: it stops at ``MOST_COUNTED``, so that a long list is as quick as a short."""
    return count_words(MOST_COUNTED) + "+" if count > MOST_COUNTED else count_words(count)


def _before(form: DueFilterForm, page: DuePage, number: int) -> str:
    """The page before: of the second, the list's own address."""
    if number == 2:
        return form.address()
    return form.address(mark=page.previous_before, page=max(number - 1, 0))


def _head(form: DueFilterForm, column: Column) -> Head:
    if column.sort not in SORTED_BY:
        return Head(column.code, column.label, "", "", column.is_number)
    now, down = form.cleaned_data["sort"] or "urgency", form.cleaned_data["down"]
    is_here = now == column.sort
    href = form.address(sort=column.sort, down=is_here and not down)
    how = ("descending" if down else "ascending") if is_here else ""
    return Head(column.code, column.label, href, how, column.is_number)


def band_said(row: DueRow) -> tuple[str, str]:
    """The band of one row: whose tone and shape it has, and its words. What is due at a check names it;
    where no check is late enough, the days tell how near it is."""
    if row.band in {"next-check", "later-check"} and row.check_name:
        return row.band, f"at {row.check_name}"
    if not row.by_days:
        is_behind = row.band == "beyond-plan" and row.left_days is not None
        return row.band, f"after {row.checks[-1][1]}" if is_behind else ""
    return row.band, f"within {row.within} days" if row.within else row.by_days


def narrowed_by(form: DueFilterForm) -> list[tuple[str, str]]:
    """Each filter that is set, in words: what is printed over the list."""
    given = form.cleaned_data
    found = []
    for name, field in form.fields.items():
        value = given.get(name)
        if not value or name in {"as_of", "down", "beside"}:
            continue
        words = {**dict(BANDS), **SORTED_BY}.get(value) if name in {"band", "sort"} else None
        said = day_words(value) if isinstance(value, date) else "yes" if value is True else value
        found.append((str(field.label), words or str(said)))
    return found
