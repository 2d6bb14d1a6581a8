"""What may not be used is not fitted, and not released to stock, by whichever door it is recorded.

A movement is judged by what was known of its unit when it happened: its tag, holds, title, the shop
that it was away at. Of a use of these days that nothing else will judge, by a plain movement or by a
sheet's line, it is also asked what has run out, what is set aside for another and whether there is
a certificate. A swap's release asks that itself, for it knows the works that the swap earns; and of
a history being loaded (of long ago, of many units, of units that the same load brings) it is not
asked, for its papers and works need not be on record any more.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date, datetime, timedelta

from django.db import connection

from equipment.keeping.judged.call import Call
from equipment.ledger.arrays import array_of
from equipment.ledger.nesting import inside_now
from equipment.ledger.picture import Edit
from equipment.models import Movement, Place, Reservation, Stay, Unit
from equipment.segregation.facts import Asked, aircraft_names, uses_of
from equipment.segregation.ports import expired_among
from equipment.segregation.rule import UnitUse, asks_decision, why_not_use
from equipment.segregation.shop_first import straight_from_shop
from fleet.house.refusals import Refusal

DOUBTFUL = """
SELECT DISTINCT coalesce(u.merged_into_id, u.id) FROM equipment_unit u
WHERE coalesce(u.merged_into_id, u.id) = ANY(%(units)s::bigint[]) AND (
    EXISTS (SELECT FROM equipment_unittag t WHERE t.unit_id = u.id AND t.sort <> 'serviceable')
    OR EXISTS (
        SELECT FROM equipment_title o
        WHERE o.unit_id = u.id AND (o.restriction <> '' OR o.return_by IS NOT NULL)
    )
    OR EXISTS (
        SELECT FROM equipment_shoporder s WHERE s.unit_id = u.id
        AND NOT EXISTS (SELECT FROM equipment_shopreturn b WHERE b.order_id = s.id)
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
    call: Call, edits: Mapping[int, Edit], *, at: datetime, is_last_word: bool
) -> dict[int, list[Refusal]]:
    """Every reason of segregation against rows that fit a unit or release it to stock, by their index.

    ``is_last_word``: nothing else will judge the use, so a use of these days is asked everything.
    """
    judged = {
        row: call.units[row] for row in edits if call.rows[row].sort in ("installed", "released")
    }
    if not judged:
        return {}
    new = _new_uses(call, judged, at) if is_last_word else frozenset()
    doubtful = _doubtful(judged.values())
    found: dict[int, list[Refusal]] = defaultdict(list)
    for row, unit in judged.items():
        if row in new or unit in doubtful:
            found[row] += _why_not(call, row, is_new=row in new)
    for row, sentences in _expired(call, new).items():
        found[row] += [Refusal("unit_expired", each, "unit") for each in sentences]
    return {row: reasons for row, reasons in found.items() if reasons}


def _new_uses(call: Call, judged: Mapping[int, int], at: datetime) -> frozenset[int]:
    """The rows that fit a unit in these days; one that only corrects what is said of a use on record is none."""
    rows = {
        row
        for row in judged
        if call.rows[row].sort == "installed" and at - call.rows[row].when.at <= RECENT
    }
    if len(rows) > MOST_ASKED:
        return frozenset()
    entered = _entered_with({judged[row] for row in rows}, at)
    same = _uses_on_record({key for row in rows if (key := call.rows[row].corrects) is not None})
    return frozenset(
        row
        for row in rows
        if judged[row] not in entered
        and (call.rows[row].corrects, call.units[row], call.places[row]) not in same
    )


def _entered_with(units: Iterable[int], at: datetime) -> set[int]:
    """Units that the same load enters: they come with their history, their papers on a later sheet."""
    entered = Unit.objects.filter(pk__in=set(units), recorded_at__gte=at)
    return set(entered.values_list("pk", flat=True))


def _uses_on_record(movements: Iterable[int]) -> set[tuple[int, int, int]]:
    """(movement, unit as kept, place) of these installations that conform."""
    known = Movement.objects.filter(pk__in=set(movements), sort="installed", is_conforming=True)
    rows = known.values_list("pk", "unit", "unit__merged_into", "to_place")
    return {(key, merged or unit, place) for key, unit, merged, place in rows}


def _doubtful(units: Iterable[int]) -> set[int]:
    """Units of which anything at all was ever said that could forbid a use: mostly none.

    Of few units what is said of anything inside them counts as well, and any hold at all makes them
    doubtful, for it may be about what is inside.
    """
    wanted = set(units)
    is_few = len(wanted) <= MOST_ASKED
    inside = inside_now(wanted) if is_few else {unit: [unit] for unit in wanted}
    every = {each for within in inside.values() for each in within}
    with connection.cursor() as cursor:
        cursor.execute(DOUBTFUL, {"units": array_of(sorted(every)), "is_few": is_few})
        found = {unit for (unit,) in cursor.fetchall()}
    return {unit for unit in wanted if found & set(inside.get(unit, [unit]))}


def _why_not(call: Call, row: int, *, is_new: bool) -> list[Refusal]:
    fact, unit = call.rows[row], call.units[row]
    place = Place.objects.select_related("aircraft_position__aircraft").get(pk=call.places[row])
    asked = Asked(
        fact.when.day,
        _by(fact.when.at, fact.when.precision),
        place.pk,
        aircraft_names(place),
        with_expired=False,
    )
    # Where it was is judged by the ledger itself.
    use = replace(uses_of([unit], asked)[unit], is_quarantined=False)
    if not is_new:
        use = replace(use, reserved_for="", has_certificate=True, dual_release_for="")
    elif _was_there(unit, place.pk):
        use = replace(use, has_certificate=True, dual_release_for="")
    elif unit not in call.units[:row]:  # else the call itself tells how it came back
        use = replace(use, at_shop=use.at_shop or straight_from_shop([unit], fact.when.at))
    if fact.sort == "released":
        use = replace(use, foreign="")
    # What the same call puts into it is judged by the call itself.
    is_whole = not is_new or unit in call.parents
    return [*why_not_use(use), *([] if is_whole else _incomplete(use, unit, place.pk))]


def _incomplete(use: UnitUse, unit: int, place: int) -> list[Refusal]:
    """Empty positions inside what is fitted, unless it was handed over for it by a named decision."""
    found = asks_decision(replace(use, unknown=()))
    if not found:
        return []
    held = Reservation.objects.filter(unit=unit, place=place).exclude(issue_decision="")
    return [] if held.exists() else [Refusal(each.code, each.message, "unit") for each in found]


def _was_there(unit: int, place: int) -> bool:
    """What is refitted where it was needs no new paper and may come straight from a shop, as in a swap."""
    return Stay.objects.filter(unit=unit, place=place).exists()


def _by(happened_at: datetime, precision: str) -> datetime:
    """Until when facts count: the instant, or of a day alone its end."""
    return happened_at if precision == "instant" else happened_at + timedelta(days=1)


def _expired(call: Call, rows: Iterable[int]) -> dict[int, list[str]]:
    """What had run out on the day of each new use, of the unit and all inside it."""
    by_day: dict[date, list[int]] = defaultdict(list)
    for row in rows:
        by_day[call.rows[row].when.day].append(row)
    found: dict[int, list[str]] = {}
    for day, fitted in by_day.items():
        ended = expired_among(inside_now(call.units[row] for row in fitted), day)
        found |= {
            row: list(ended[call.units[row]].expired) for row in fitted if call.units[row] in ended
        }
    return found
