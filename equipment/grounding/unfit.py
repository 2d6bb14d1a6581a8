"""Units that are on an aircraft and not serviceable: tagged so, or inside one that is. And what defers it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from django.db import connection

from equipment.common.wording import unit_words
from equipment.models import OpenItem, Unit, UnitTag
from equipment.segregation.shop_first import latest_tags
from fleet.models import AircraftPosition
from fleet.words.said import day_words

# From the aircraft to what is on it to its tags: the units on an aircraft are few, tags are for ever. What
# is asked of them stands beside this join, and the positions of the few that are found are asked for after it.
ON_AIRCRAFT = """
FROM equipment_fittedperiod f
JOIN equipment_unit o ON coalesce(o.merged_into_id, o.id) = f.unit_id
"""
AT_THE_TIME = """
WHERE f.from_at <= %(at)s AND (f.to_at IS NULL OR f.to_at > %(at)s)
  AND (%(aircraft)s::bigint[] IS NULL OR f.aircraft_id = ANY(%(aircraft)s::bigint[]))
"""
TAGGED = f"""
SELECT DISTINCT o.id, f.unit_id, f.aircraft_id, f.root_position_id, f.place_id
{ON_AIRCRAFT} {AT_THE_TIME} AND EXISTS (
    SELECT FROM equipment_unittag t
    WHERE t.unit_id = o.id AND t.sort <> 'serviceable' AND t.tagged_at <= %(at)s
)
ORDER BY f.unit_id, o.id
"""


@dataclass(frozen=True, slots=True)
class Unfit:
    """A unit on an aircraft that is not serviceable: where it is, why, since which day.

    ``until`` is the last day on which a document allows it to stay so; None if none does.
    """

    unit_id: int
    aircraft_id: int
    position_id: int
    place_id: int
    position: str
    code: str
    why: str
    since: date
    until: date | None = None

    def grounds(self, on: date) -> bool:
        return self.until is None or self.until < on


def tagged_on(aircraft_ids: Sequence[int] | None, at: datetime) -> list[Unfit]:
    """The units on these aircraft (all: None) whose tag that counts at an instant is not *serviceable*."""
    rows = _rows(aircraft_ids, at)
    if not rows:
        return []
    tags = latest_tags({record: unit for record, unit, *_ in rows}, at)
    places = {unit: rest for _, unit, *rest in rows}
    found = {unit: tag for unit, tag in tags.items() if _is_unfit(tag)}
    codes = position_codes(places[unit][1] for unit in found)
    return [
        _unfit(tag, unit, (*places[unit], codes[places[unit][1]])) for unit, tag in found.items()
    ]


def position_codes(position_ids: Iterable[int]) -> dict[int, str]:
    """The code of each of these positions of aircraft; no question where there is none."""
    keys = set(position_ids)
    rows = AircraftPosition.objects.filter(pk__in=keys)
    return dict(rows.values_list("pk", "type_position__code")) if keys else {}


def _rows(aircraft_ids: Sequence[int] | None, at: datetime) -> list[tuple[int, ...]]:
    asked = {"at": at, "aircraft": None if aircraft_ids is None else list(aircraft_ids)}
    with connection.cursor() as cursor:
        cursor.execute(TAGGED, asked)
        return cursor.fetchall()


def _is_unfit(tag: UnitTag) -> bool:
    return tag.sort != "serviceable"


def _unfit(tag: UnitTag, unit_id: int, where: Sequence[int | str]) -> Unfit:
    aircraft_id, position_id, place_id, position = where
    because = tag.get_why_display() if tag.why else ""
    more = ": ".join(each for each in (because, tag.words.rstrip(".")) if each)
    why = f"is tagged {tag.get_sort_display()}" + (f" ({more})" if more else "")
    return Unfit(
        unit_id=unit_id,
        aircraft_id=int(aircraft_id),
        position_id=int(position_id),
        place_id=int(place_id),
        position=str(position),
        code="unit_unserviceable",
        why=why,
        since=tag.tagged_at.date(),
    )


def with_documents(unfit: Iterable[Unfit], on: date) -> list[Unfit]:
    """The same, each with the last day of the open item that lets its position stay as it is.

    An open item found before the unit became so is of something else, and lets nothing stay.
    """
    found = list(unfit)
    if not found:
        return []
    items = OpenItem.objects.filter(aircraft__in={each.aircraft_id for each in found})
    items = items.filter(place__isnull=False, found_on__lte=on).exclude(closed__closed_on__lte=on)
    told = list(items.values_list("place", "place__aircraft_position", "found_on", "expires_on"))
    return [replace(each, until=_until(each, told)) for each in found]


def _until(unfit: Unfit, items: Sequence[tuple[int, int | None, date, date]]) -> date | None:
    days = [
        expires_on
        for place, position, found_on, expires_on in items
        if found_on >= unfit.since and (place == unfit.place_id or position == unfit.position_id)
    ]
    return max(days, default=None)


def sentences_of(unfit: Sequence[Unfit]) -> Mapping[int, str]:
    """What each says, by its unit: ``HS-1 S/N 7 is tagged unserviceable (deployed) since 3 March 2027.``"""
    units = Unit.objects.select_related("part_number").in_bulk({each.unit_id for each in unfit})
    return {
        each.unit_id: f"{unit_words(units[each.unit_id])} {each.why}, since {day_words(each.since)}."
        for each in unfit
    }
