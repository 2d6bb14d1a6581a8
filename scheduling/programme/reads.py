"""Works done, extensions and dispositions of a unit as entries of its history."""

from __future__ import annotations

from collections.abc import Iterator

from equipment.units.histories import Entry
from fleet.words.said import count_words, dated_words, day_words, hours_words
from scheduling.models import Disposition, Extension, WorkDone
from scheduling.programme.acts.works import not_shown_words


def work_entries(unit_ids: list[int]) -> Iterator[Entry]:
    """Everything scheduling knows of these units, in no order: three queries."""
    yield from _works(unit_ids)
    yield from _extensions(unit_ids)
    yield from _dispositions(unit_ids)


def _works(unit_ids: list[int]) -> Iterator[Entry]:
    rows = WorkDone.objects.filter(unit__in=unit_ids)
    for row in rows.select_related("work", "recorded_by", "corrected_by"):
        later = getattr(row, "corrected_by", None)
        details = [
            row.method,
            f"for limit {row.limit_code} only" if row.limit_code else "",
            f"at {hours_words(row.total_minutes)} h" if row.total_minutes is not None else "",
            f"at {count_words(row.total_cycles)} cycles" if row.total_cycles is not None else "",
            f"released {day_words(row.released_on)}" if row.released_on else "",
            f"released by the shop {day_words(row.shop_released_on)}"
            if row.shop_released_on
            else "",
            f"was due {day_words(row.original_due_on)}" if row.original_due_on else "",
            *_was_due_at(row),
            f"by {row.who}" if row.who else "",
            f"authorisation {row.authorisation}" if row.authorisation else "",
            row.document,
            f"certificate {row.certificate}" if row.certificate else "",
            "withdraws what was recorded before" if row.is_annulment else not_shown_words(row),
            f"corrected on {day_words(later.recorded_at.date())}" if later else "",
        ]
        yield Entry(
            on=row.done_on,
            order=0,
            said=dated_words(row.done_on, row.precision),
            sort="work",
            text=f"{row.work.name}: {row.get_result_display()}",
            details=tuple(filter(None, details)),
            recorded_at=row.recorded_at,
            recorded_by=row.recorded_by.shown_name if row.recorded_by else "",
            is_struck=later is not None,
        )


def _extensions(unit_ids: list[int]) -> Iterator[Entry]:
    for row in Extension.objects.filter(unit__in=unit_ids).select_related("recorded_by"):
        much = [
            f"{count_words(row.days)} days" if row.days else "",
            f"{hours_words(row.minutes)} h" if row.minutes else "",
            f"{count_words(row.count)} counts" if row.count else "",
        ]
        yield Entry(
            on=row.granted_on,
            order=0,
            said=day_words(row.granted_on),
            sort="extension",
            text=f"extension {row.number} of limit {row.limit_code}: {', '.join(filter(None, much))}",
            details=(f"approved by {row.approved_by}", row.document),
            recorded_at=row.recorded_at,
            recorded_by=row.recorded_by.shown_name if row.recorded_by else "",
        )


def _dispositions(unit_ids: list[int]) -> Iterator[Entry]:
    rows = Disposition.objects.filter(unit__in=unit_ids)
    for row in rows.select_related("limit", "recorded_by"):
        paragraph = f" paragraph {row.limit.paragraph}" if row.limit.paragraph else ""
        yield Entry(
            on=row.on,
            order=0,
            said=day_words(row.on),
            sort="directive",
            text=f"{row.limit.document}{paragraph}: {row.get_sort_display()}",
            details=tuple(filter(None, [row.reason, row.document])),
            recorded_at=row.recorded_at,
            recorded_by=row.recorded_by.shown_name if row.recorded_by else "",
        )


def _was_due_at(row: WorkDone) -> list[str]:
    minutes, cycles = row.original_due_minutes, row.original_due_cycles
    hours = [] if minutes is None else [f"was due at {hours_words(minutes)} h"]
    return hours if cycles is None else [*hours, f"was due at {count_words(cycles)} cycles"]
