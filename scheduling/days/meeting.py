"""Today on one sheet of paper, for the meeting."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from equipment.common.listing import CAUTION
from equipment.common.pages.listed import is_demonstration, printed_by, sent
from equipment.common.paper import Paper, Part, pdf_of
from fleet.house.pages import reader, today
from fleet.words.said import count_words, day_words, weekday_words
from scheduling.due.since.told import Changed

from .controller import ControllersDay, controllers_day
from .waiting import Waits

NOTHING = "None."


@require_safe
@never_cache
@reader
def today_paper(request: HttpRequest) -> HttpResponse:
    """The controller's day on one page, whatever there is: of each part the first lines, and how many more."""
    day = today()
    told = controllers_day(day, timezone.now())
    paper = Paper(
        title=f"Today, {weekday_words(day)}",
        state=_state(told),
        facts=[],
        parts=list(_parts(told)),
        notes=[CAUTION],
        address=request.build_absolute_uri(reverse("scheduling:today")),
        is_demonstration=is_demonstration(),
        printed=printed_by(request),
        fits_page=True,
    )
    return sent(pdf_of(paper), "pdf", f"today-{day:%Y-%m-%d}.pdf")


def _state(told: ControllersDay) -> str:
    stopped = len(told.stopped)
    words = f"{count_words(stopped)} aircraft may not leave as {'it is' if stopped == 1 else 'they are'}."
    if not told.has_plan:
        return f"{words} Units were never matched to needs."
    return f"{words} Facts have changed since units were matched." if told.is_stale else words


def _parts(told: ControllersDay) -> Iterable[Part]:
    yield _part(
        "What stops a departure",
        [
            (
                each.registration,
                f"{each.reasons[0].sentence}{f' And {each.more} more.' if each.more else ''}",
            )
            for each in told.stopped
        ],
        len(told.stopped),
    )
    if told.since is None:
        yield _part("What changed", [("", "Not known: no list of the day before was kept.")], 0)
    else:
        for title, sort, rows, _ in told.since.parts:
            lines = [_changed(row) for row in rows]
            yield _part(
                f"{title} since {day_words(told.since.on)}", lines, told.since.totals.get(sort, 0)
            )
    yield _waits("Needs without a unit, next 30 days", told.needs)
    yield _part(
        "Open items that end within a week",
        [
            (each.aircraft.registration, f"{each.words}, until {day_words(each.expires_on)}")
            for each in told.ending
        ],
        len(told.ending),
    )
    yield _part(
        "Late at the shops",
        [(each.unit, f"{each.shop}, {each.days_late} days late") for each in told.late],
        len(told.late),
    )
    yield _waits("Robbed and still empty", told.robbed)
    yield _waits("Records to reconcile", told.odd)


def _waits(title: str, waits: Waits) -> Part:
    lines = [(each.where, f"{each.words}, {day_words(each.on)}") for each in waits.lines]
    return _part(title, lines, waits.count)


def _part(title: str, lines: Sequence[tuple[str, str]], count: int) -> Part:
    """A part with its count in the head; lines of which only the first were read say so."""
    rows = [*lines] or [("", NOTHING)]
    if count > len(lines) and lines:
        rows.append(
            ("", f"The first {len(lines)} of {count_words(count)}: the others on the page.")
        )
    return Part(f"{title}: {count_words(count)}", ("Where", "What"), (1.6, 6), rows)


def _changed(each: Changed) -> tuple[str, str]:
    row = each.row
    unit = f"{row.part_number} S/N {row.serial_number}, " if row.part_number else ""
    by = f", by {each.whose.by}" if each.whose and each.whose.by else ""
    return f"{row.registration or row.station} {row.position}", f"{unit}{row.work}: {each.why}{by}"
