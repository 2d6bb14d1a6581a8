"""Open items in words: their rows and how their days are worked out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from equipment.common.wording import place_words
from equipment.judging.deferral import DAYS, every_words, last_day
from fleet.words.said import day_words, hours_words
from scheduling.due.lists.rows import ClockLine, DueRow, Explanation

from .ends import End
from .listed import is_open_item

OPEN_ITEM, REPEATED = "Open item", "Repeat action"


def with_words(rows: Sequence[DueRow], ends: Mapping[int, End]) -> list[DueRow]:
    """The same rows, those of open items (by their keys) with what they are about."""
    return [_told(row, ends[row.id]) if is_open_item(row.id) else row for row in rows]


def _told(row: DueRow, end: End) -> DueRow:
    item = end.item
    category = f"category {item.category}" if item.category else ""
    extended = f"extended: {item.approval}" if item.approval else ""
    about = (
        (item.repeat_actions, every_words(end.item.repeat_days, end.item.repeat_hours))
        if end.is_repeat
        else (item.effect, extended)
    )
    is_inside = item.place is not None and item.place.aircraft_position_id is None
    return replace(
        row,
        work=REPEATED if end.is_repeat else OPEN_ITEM,
        limit=item.document,
        description=item.words,
        inside=place_words(item.place) if is_inside and item.place else "",
        decided_by="its repeat action" if end.is_repeat else "its last day",
        notes=(*filter(None, (category, *about)), *row.notes),
        is_stale=False,
    )


def explained(row: DueRow, end: End) -> Explanation:
    """One open item with a pencil. ``row`` as :func:`with_words` gives it."""
    item = end.item
    steps = _repeat_steps(end) if end.is_repeat else _steps(end)
    line = ClockLine(row.work, end.start_on, row.due_on, "")
    return Explanation(row=row, steps=steps, clocks=[line], document=item.document)


def _steps(end: End) -> list[str]:
    item = end.item
    found = (
        f"{item.words.rstrip('.')}: found on {day_words(item.found_on)}; that day is not counted."
    )
    last = last_day(item.category, item.found_on)
    code = item.category.strip().upper()
    steps = [found]
    if last is not None:
        steps.append(
            f"Category {code} allows {DAYS[code]} days from the next day: until {day_words(last)}."
        )
    if item.extends is not None:
        before = day_words(item.extends.expires_on)
        steps.append(f"It was open until {before}, and was extended once: {item.approval}.")
    steps.append(f"{item.document} lets it stay open until {day_words(item.expires_on)}.")
    return steps


def _repeat_steps(end: End) -> list[str]:
    item = end.item
    is_begun = end.start_on == item.found_on
    since = "It was found" if is_begun else "The action was last done"
    steps = [
        f"{item.document}: {item.repeat_actions or 'the action'}, {every_words(end.item.repeat_days, end.item.repeat_hours)}.",
        f"{since} on {day_words(end.start_on)}.",
    ]
    if item.repeat_days and not end.is_projected and end.due_on:
        steps.append(f"{item.repeat_days} days later is {day_words(end.due_on)}.")
    if end.due_at_minutes is not None and end.left_minutes is not None:
        total = hours_words(end.due_at_minutes)
        steps.append(
            f"By flight hours it is due at {total} h; {hours_words(end.left_minutes)} h are left."
        )
    if end.is_projected and end.due_on:
        steps.append(
            f"At the aircraft's rate that is about {day_words(end.due_on)}, the earlier one."
        )
    if end.missing:
        steps.append("What the aircraft had flown then, or has flown now, is not recorded.")
    return steps
