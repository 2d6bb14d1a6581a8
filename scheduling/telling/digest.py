"""What is said each morning: what stops a departure, what changed, what ends, what is short and late. Words alone."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, datetime

from fleet.words.said import count_words, day_words
from scheduling.days.controller import ControllersDay, controllers_day
from scheduling.due.since.told import Changed, Since

MOST = 10
CAUTION = (
    "This supports licensed staff and replaces none of them. The operator's approved data governs."
)


def digest_of(day: date, now: datetime) -> tuple[str, str]:
    """Subject and body."""
    told = controllers_day(day, now)
    counts = [
        _count(len(told.stopped), "aircraft that may not leave", "aircraft that may not leave"),
        _count(_became(told.since), "item changed", "items changed"),
    ]
    subject = f"{day_words(day)}: {', '.join(word for word in counts if word) or 'nothing new'}"
    return subject, "\n\n".join([*_parts(told), CAUTION])


def _count(count: int, one: str, many: str) -> str:
    return f"{count_words(count)} {one if count == 1 else many}" if count else ""


def _became(since: Since | None) -> int:
    return sum(since.totals.get(sort, 0) for sort in ("new", "gone", "moved")) if since else 0


def _parts(told: ControllersDay) -> Iterable[str]:
    yield _part(
        "May not leave",
        [
            f"{each.registration}: {each.reasons[0].sentence}" + _more(each.more)
            for each in told.stopped
        ],
        len(told.stopped),
    )
    if told.since is not None:
        for title, sort, rows, _ in told.since.parts:
            yield _part(title, [_changed(row) for row in rows], told.since.totals.get(sort, 0))
    yield _part(
        "Open items that end soon",
        [
            f"{each.aircraft}: {each.words}, {each.document}, until {day_words(each.expires_on)}"
            for each in told.ending
        ],
        len(told.ending),
    )
    yield _part(
        "Short of units",
        [f"{each.name}: {each.short_words}" for each in told.short],
        len(told.short),
    )
    for title, waits in (
        ("Needs without a unit, next 30 days", told.needs),
        ("Robbed and still empty", told.robbed),
        ("Records to reconcile", told.odd),
    ):
        lines = [f"{each.where}: {each.words}, {day_words(each.on)}" for each in waits.lines]
        yield _part(title, lines, waits.count)
    yield _part(
        "Late from the shop",
        [
            f"{each.unit} at {each.shop}, order {each.number}, {each.days_late} days late"
            for each in told.late
        ],
        len(told.late),
    )


def _more(count: int) -> str:
    return f" And {count_words(count)} more." if count else ""


def _changed(each: Changed) -> str:
    row = each.row
    unit = f", {row.part_number} S/N {row.serial_number}" if row.part_number else ""
    by = f" By {each.whose.by}." if each.whose and each.whose.by else ""
    return f"{row.registration or row.station} {row.position}{unit}: {row.work}. {each.why}{by}".strip()


def _part(title: str, lines: Sequence[str], count: int) -> str:
    shown = [f"- {line}" for line in lines[:MOST]]
    if count > len(shown):
        shown.append(f"- and {count_words(count - len(shown))} more")
    return "\n".join([f"{title}: {count_words(count) if count else 'none'}", *shown])
