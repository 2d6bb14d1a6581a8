"""What the due list may be narrowed by: each filter is declared here once, with its words and choices.

The form of the page, the query of the API and the options of ``manage.py due`` follow from it. What a
filter means, of stored items and of reckoned ones, stands in :mod:`.scope`, which knows every one.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from django.db.models import Model

from fleet.acts.fields import Choices, choice, code_of, day, text, yes_no
from fleet.models import Aircraft, Kind, Station
from scheduling.models import Work

from .rows import BANDS, SORTS

#: Said with the filters, and no filters: in which order the items come.
ORDER = ("sort", "is_descending")


def _stations() -> Choices:
    rows = Station.objects.order_by("code").values_list("code", "name")
    return [(code, f"{code}, {name}") for code, name in rows]


def _registrations() -> Choices:
    found = Aircraft.objects.order_by("registration").values_list("registration", flat=True)
    return [(registration, registration) for registration in found]


def _by_name(model: type[Model]) -> Callable[[], Choices]:
    return lambda: list(model._default_manager.order_by("name").values_list("code", "name"))


@dataclass(frozen=True, slots=True)
class DueFilters:
    """What a list is narrowed by. Codes as people know them; empty means all.

    ``until_on``: due (or at worst due) on or before that day. ``unit_id`` and ``ids`` are given by
    pages, not said: the items of one unit, and only these items, such as a selection to export.
    ``sort`` is one of ``SORTS``; ``is_descending`` turns it round.
    """

    station: str = code_of(
        "Station", Station, "code", "station", 8, choices=_stations, help="A station's code."
    )
    aircraft: str = code_of(
        "Aircraft",
        Aircraft,
        "registration",
        "aircraft",
        10,
        choices=_registrations,
        help="A registration.",
    )
    kind: str = code_of(
        "Kind", Kind, "code", "kind", 24, choices=_by_name(Kind), help="A kind's code."
    )
    work: str = code_of(
        "Work", Work, "code", "work", 24, choices=_by_name(Work), help="A work's code."
    )
    band: str = choice("Band", BANDS, default="", what="band")
    grounds: bool = yes_no(
        "Grounds its aircraft", help="Only what its aircraft may not fly with as it is."
    )
    part_number: str = text("Part number", 40, default="")
    until_on: date | None = day(
        "Due until", default=None, help="Due, or due no later, on this day or earlier."
    )
    unit_id: int | None = None
    ids: tuple[int, ...] = ()
    sort: str = choice("Order", SORTS, default="urgency", what="order")
    is_descending: bool = yes_no("The other way round")

    def __post_init__(self) -> None:
        # As part numbers are kept, so that however it is typed it is one view.
        object.__setattr__(self, "part_number", self.part_number.upper())
