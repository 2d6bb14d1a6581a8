"""What may not be used is not fitted, and not released to stock, by whichever door it is recorded.

A movement is judged by what was known of its unit when it happened: its tag, holds, title. That a
limit has run out is asked of a sheet's few and recent lines only: a person's record of it stands, and stops the
swap's release instead; a load of a whole history brings the works after the movements.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date, datetime, timedelta

from django.db import connection

from equipment.ledger.picture import Edit
from equipment.models import Place, Unit
from equipment.stores.segregation import why_not_use
from equipment.stores.signals import expired_among
from equipment.stores.unit_facts import Asked, uses_of
from fleet.refusals import Refusal

from ._arrays import array_of
from ._call import Call

DOUBTFUL = """
SELECT DISTINCT coalesce(u.merged_into_id, u.id) FROM equipment_unit u
WHERE coalesce(u.merged_into_id, u.id) = ANY(%(units)s::bigint[]) AND (
    EXISTS (SELECT FROM equipment_unittag t WHERE t.unit_id = u.id AND t.sort <> 'serviceable')
    OR EXISTS (
        SELECT FROM equipment_title o
        WHERE o.unit_id = u.id AND (o.restriction <> '' OR o.return_by IS NOT NULL)
    )
    OR (%(is_few)s AND EXISTS (SELECT FROM equipment_hold))
    OR EXISTS (
        SELECT FROM equipment_hold h
        WHERE h.unit_id = u.id
           OR (h.scope = 'lot' AND upper(h.value) = upper(u.serial_number))
           OR EXISTS (
               SELECT FROM equipment_certificate c
               WHERE c.unit_id = u.id AND upper(h.value) = upper(
                   CASE h.scope WHEN 'certificate' THEN c.tracking_number
                                WHEN 'supplier' THEN c.supplier END)
           )
    )
)
"""
#: More installations than this in one call are a history being loaded.
MOST_ASKED = 200
#: Installations of longer ago are history: the works that explain them may be on a later sheet.
RECENT = timedelta(days=30)


def segregated(
    call: Call, edits: Mapping[int, Edit], *, at: datetime, is_strict: bool
) -> dict[int, list[Refusal]]:
    """Every reason of segregation against rows that fit a unit or release it to stock, by their index."""
    judged = {
        row: call.units[row] for row in edits if call.rows[row].sort in ("installed", "released")
    }
    if not judged:
        return {}
    doubtful = _doubtful(judged.values())
    found: dict[int, list[Refusal]] = defaultdict(list)
    for row, unit in judged.items():
        if unit in doubtful:
            found[row] += _why_not(call, row)
    if is_strict:
        for row, sentences in _expired(call, judged, at).items():
            found[row] += [Refusal("unit_expired", each, "unit") for each in sentences]
    return {row: reasons for row, reasons in found.items() if reasons}


def _doubtful(units: Iterable[int]) -> set[int]:
    """Units of which anything at all was ever said that could forbid a use: mostly none.

    Of few units any hold at all makes them doubtful, for it may be about what is inside them.
    """
    wanted = set(units)
    with connection.cursor() as cursor:
        cursor.execute(
            DOUBTFUL, {"units": array_of(sorted(wanted)), "is_few": len(wanted) <= MOST_ASKED}
        )
        return {unit for (unit,) in cursor.fetchall()}


def _why_not(call: Call, row: int) -> list[Refusal]:
    fact, unit = call.rows[row], call.units[row]
    on, place = (
        fact.when.day,
        Place.objects.select_related("aircraft_position__aircraft").get(pk=call.places[row]),
    )
    asked = Asked(
        on, _by(fact.when.at, fact.when.precision), place.pk, _names(place), with_expired=False
    )
    use = uses_of([unit], asked)[unit]
    # Papers are not asked of a history, and what is set aside is told by the clerk's own doors.
    use = replace(use, is_quarantined=False, reserved_for="", has_certificate=True)
    if fact.sort == "released":
        use = replace(use, foreign="")
    return why_not_use(use)


def _by(happened_at: datetime, precision: str) -> datetime:
    """Until when facts count: the instant, or of a day alone its end."""
    return happened_at if precision == "instant" else happened_at + timedelta(days=1)


def _names(place: Place) -> tuple[str, ...]:
    aircraft = place.aircraft_position.aircraft if place.aircraft_position else None
    if aircraft is None and place.parent_unit_id is not None:
        outer = Unit.objects.select_related("aircraft").get(pk=place.parent_unit_id)
        aircraft = outer.aircraft
    return (aircraft.registration, aircraft.msn) if aircraft else ()


def _expired(call: Call, judged: Mapping[int, int], at: datetime) -> dict[int, list[str]]:
    """What had run out on the day of each installation, as far as works are on record."""
    fitted = [
        row
        for row in judged
        if call.rows[row].sort == "installed" and at - call.rows[row].when.at <= RECENT
    ]
    if len(fitted) > MOST_ASKED:
        return {}
    by_day: dict[date, list[int]] = defaultdict(list)
    for row in fitted:
        by_day[call.rows[row].when.day].append(row)
    found: dict[int, list[str]] = {}
    for day, rows in by_day.items():
        ended = expired_among({call.units[row]: [call.units[row]] for row in rows}, day)
        found |= {row: ended[call.units[row]] for row in rows if call.units[row] in ended}
    return found
