"""What is refused outright, whoever says it: rows that do not say which unit, where or when."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import NamedTuple
from zoneinfo import available_timezones

from django.db import connection

from equipment.ledger.arrays import array_of
from equipment.ledger.facts import MovementFact
from equipment.ledger.rules import TO
from equipment.models.movements import MOVED
from fleet.house.moments import why_future
from fleet.house.refusals import Reasons, Refusal
from fleet.house.texts import why_not_kept

KEPT = "SELECT id, coalesce(merged_into_id, id) FROM equipment_unit WHERE id = ANY(%s::bigint[])"
PLACES = """
SELECT p.id, p.sort, coalesce(o.merged_into_id, o.id)
FROM equipment_place p LEFT JOIN equipment_unit o ON o.id = p.parent_unit_id
WHERE p.id = ANY(%s::bigint[])
"""
EXACT = frozenset(name for name, _ in MOVED)
ZONES = frozenset(available_timezones())
MOST_REASON, MOST_DOCUMENT, MOST_LOG_PAGE = 200, 80, 40


class Where(NamedTuple):
    """The sort of a place, and the unit around it (as kept) if it is inside one."""

    sort: str
    parent_unit_id: int | None

    @property
    def is_position(self) -> bool:
        return self.sort in ("aircraft", "inside")


def kept_units(ids: Iterable[int]) -> dict[int, int]:
    """Each unit with the one that it turned out to be, or itself; an unknown one is missing."""
    with connection.cursor() as cursor:
        cursor.execute(KEPT, [array_of(set(ids))])
        return dict(cursor.fetchall())


def places_by_id(ids: Iterable[int]) -> dict[int, Where]:
    with connection.cursor() as cursor:
        cursor.execute(PLACES, [array_of(set(ids))])
        return {place: Where(sort, parent) for place, sort, parent in cursor.fetchall()}


def why_not_shaped(
    row: MovementFact, where: Where | None, *, is_unit_known: bool, at: datetime
) -> list[Refusal]:
    """Every reason why this row says nothing that could be kept."""
    reasons = Reasons()
    if not is_unit_known:
        reasons.add("unknown_unit", "There is no such unit: receive it first.", "unit")
    if row.sort not in TO:
        reasons.add("unknown_sort", f"There is no movement called “{row.sort}”.", "sort")
    elif where is None:
        reasons.add(
            "unknown_place",
            "There is no such place: name a position of an aircraft, a position inside a unit, a"
            " station's store, a shop or a party that is on record.",
            "place",
        )
    elif where.sort not in TO[row.sort]:
        reasons.add(
            "place_does_not_suit",
            f"A unit that is {row.sort} does not come to such a place ({where.sort}): check the"
            " movement and the place.",
            "place",
        )
    _check_when(row, at, reasons)
    _check_numbers(row, reasons)
    return reasons.found


def _check_when(row: MovementFact, at: datetime, reasons: Reasons) -> None:
    when = row.when
    if when.at.tzinfo is None or when.zone not in ZONES or when.precision not in EXACT:
        reasons.add("unknown_time", "The time needs a zone, such as Europe/London.", "happened_on")
    else:
        reasons.found += why_future(when.here, at, "happened_on")


def _check_numbers(row: MovementFact, reasons: Reasons) -> None:
    for field in ("aircraft_minutes", "aircraft_cycles"):
        total = getattr(row, field)
        if total is not None and not 0 <= total < 2**62:
            reasons.add("out_of_range", "A total is not below zero.", field)
    if row.quantity is not None and not 0 <= row.quantity < 2**31:
        reasons.add("out_of_range", "A quantity is not below zero.", "quantity")
    for field, most in (
        ("reason", MOST_REASON),
        ("document", MOST_DOCUMENT),
        ("log_page", MOST_LOG_PAGE),
    ):
        reasons.found += why_not_kept(getattr(row, field), field, most)
