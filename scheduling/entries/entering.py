"""The page of each sort of record: its form, what is on record beneath it, what a line would move."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

from django.http import HttpRequest
from django.shortcuts import get_object_or_404
from django.urls import reverse

from fleet.house.pages import today
from fleet.models import Aircraft
from fleet.offers.lines import line_act
from fleet.offers.offer import Offer
from fleet.offers.page import About, Done, Page

from .foretold.moves import Moves, Reach, foresee
from .offered import OFFERED
from .records import MOST_LISTED, RECORDS, Record, shown, value_of

TEMPLATE = "scheduling/entries/record.html"


def entry_offer(record: Record) -> Offer:
    """A line of this sort of record, as an act with a page of its own."""
    name = record.slug.replace("-", "_")
    act = line_act(record.kind, f"enter_{name}_line", OFFERED)
    page = Page(
        address=f"setting-up/{record.slug}/",
        name=f"enter_{name}",
        heading=record.kind.name,
        lead=record.kind.purpose,
        button=f"Save {record.one}",
        done=_done,
        about=partial(_about, record),
        known=record.left_out,
        find=record.find,
        then=lambda done: done.about.back,
        template=TEMPLATE,
        foresee=_moved if record.moves else None,
    )
    return Offer(act, None, page)


def _done(done: Done) -> str:
    return "It was on record like this already." if done.made == "known" else "It is on record."


def _about(record: Record, request: HttpRequest) -> About:
    """What stands on record; of the row that ``of`` names the form shows what it says."""
    starts: dict[str, Any] = {}
    asked = request.GET.get("of", "")
    if asked.isdecimal():
        row = get_object_or_404(record.rows(), pk=int(asked[:18]))
        starts = {column.field: value_of(record, row, column.field) for column in record.columns}
    else:
        named = {column.field for column in record.columns} & set(request.GET)
        starts = {**record.starts, **{name: request.GET[name][:80] for name in named}}
    return About(
        starts=starts,
        back=reverse(f"scheduling:enter_{record.slug.replace('-', '_')}"),
        shown=lambda: _listed(record, bool(asked)),
    )


def _listed(record: Record, is_change: bool) -> dict[str, Any]:
    rows = list(record.rows()[: MOST_LISTED + 1])
    return {
        "record": record,
        "is_change": is_change,
        "heads": [column.name for column in record.columns],
        "rows": [
            (row.pk, [shown(record, row, column) for column in record.columns], _page(record, row))
            for row in rows[:MOST_LISTED]
        ],
        "is_more": len(rows) > MOST_LISTED,
    }


def _page(record: Record, row: Any) -> str:
    return reverse(record.page, args=[row.pk]) if record.page else ""


def _moved(do: Callable[[], Any], about: About, typed: Any) -> list[Moves]:
    registration = str(typed.get("aircraft", "")).strip().upper()
    found = Aircraft.objects.filter(registration=registration).values_list("pk", flat=True)
    days = sorted({today(), max(today(), typed.get("from_on") or today())})
    return foresee(do, Reach(aircraft_ids=tuple(found)), days)


ENTRIES = tuple(entry_offer(record) for record in RECORDS)
