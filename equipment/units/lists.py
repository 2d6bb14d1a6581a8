"""The unit's history, and what is fitted on an aircraft, as files: each with every row there is."""

from __future__ import annotations

from datetime import date

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from equipment.common.listing import Cell, Column, Listing
from equipment.common.pages.listed import listed
from equipment.common.wording import unit_words
from equipment.ledger.fitted import Fitted, end_of_day, fitted
from equipment.models import Unit
from fleet.house.pages import end_of, reader, today
from fleet.models import Aircraft, AircraftPosition
from fleet.screens.days import day_asked
from fleet.words.said import dated_words, day_words

from . import histories, reads

HISTORY = (
    Column("Date", 1.4),
    Column("What", 1.4),
    Column("Words", 4),
    Column("Details", 4),
    Column("Counts", 1),
    Column("Recorded", 1.6),
    Column("By", 1.6),
)
FITTED = (
    Column("Position", 1.6),
    Column("Inside", 1.6),
    Column("Part number", 1.6),
    Column("Standard", 1),
    Column("Serial number", 1.4),
    Column("Description", 2.4),
    Column("Quantity", 0.8),
    Column("Fitted since", 1.3),
    Column("Known", 1.2),
)


@require_safe
@never_cache
@reader
def unit_history(request: HttpRequest, unit_id: int, form: str) -> HttpResponse:
    """A unit's history from birth, oldest first, with what was corrected since."""
    unit = get_object_or_404(reads.whole_units(), pk=unit_id)
    address = request.build_absolute_uri(reverse("equipment:unit", args=[unit.pk]))
    return listed(request, form, lambda: history_of(unit, address))


def history_of(unit: Unit, address: str) -> Listing:
    keys = [unit.pk, *unit.absorbed.values_list("pk", flat=True)]
    return Listing(
        title=f"History of {unit_words(unit)}",
        as_of=f"As recorded by {day_words(today())}",
        columns=HISTORY,
        rows=[
            [
                each.said,
                each.sort,
                each.text,
                "; ".join(each.details),
                "replaced" if each.is_struck else "does not conform" if each.is_off else "",
                each.recorded_at,
                each.recorded_by,
            ]
            for each in reversed(histories.entries_of(keys))
        ],
        address=address,
        name=f"history-{unit.part_number.number}-{unit.serial_number}"[:60],
        facts=[("Unit", unit_words(unit)), ("What", unit.part_number.description)],
    )


@require_safe
@never_cache
@reader
def fitted_file(request: HttpRequest, registration: str, form: str) -> HttpResponse:
    """What was fitted on any day (``?at=``), as the records said on any day (``?known_at=``)."""
    craft = get_object_or_404(
        Aircraft.objects.select_related("aircraft_type", "station"),
        registration=registration.upper()[:10].replace("\x00", ""),
    )
    at, fault = day_asked(request, "at")
    known, known_fault = day_asked(request, "known_at")
    if fault or known_fault:
        raise Http404("No such day.")
    address = request.build_absolute_uri(reverse("fleet:aircraft", args=[craft.registration]))
    query = request.META.get("QUERY_STRING", "")
    live = f"{address}?{query}" if query else address
    return listed(request, form, lambda: fitted_listing(craft, at or today(), known, live))


def fitted_listing(craft: Aircraft, day: date, known: date | None, address: str) -> Listing:
    """Every unit fitted then, what is inside it, and each position in use that had none."""
    known_at = end_of(known) if known else None
    rows = fitted(craft, end_of_day(day, craft.station.time_zone), known_at)
    held = {row.position for row in rows}
    empty = AircraftPosition.objects.filter(aircraft=craft, is_active=True)
    codes = empty.exclude(type_position__code__in=held).values_list(
        "type_position__code", flat=True
    )
    lines = [_fitted(row) for row in rows]
    lines += [[code, "", "", "", "", "nothing recorded there", None, None, ""] for code in codes]
    said = f", as the records said on {day_words(known)}" if known else ""
    return Listing(
        title=f"Fitted on {craft.registration}",
        as_of=f"At the end of {day_words(day)}{said}",
        columns=FITTED,
        rows=sorted(lines, key=lambda line: str(line[0])),
        address=address,
        name=f"fitted-{craft.registration}-{day:%Y-%m-%d}",
        facts=[
            ("Aircraft", f"{craft.registration}, MSN {craft.msn or '–'}"),
            ("Type", craft.aircraft_type.code),
        ],
        is_wide=True,
    )


def _fitted(row: Fitted) -> list[Cell]:
    is_day = row.precision in {"instant", "day"}
    return [
        row.position,
        " › ".join(row.path[1:]),
        row.part_number,
        row.standard or "",
        row.serial_number,
        row.description,
        row.quantity,
        row.since_on if is_day else None,
        "" if is_day else dated_words(row.since_on, row.precision),
    ]
