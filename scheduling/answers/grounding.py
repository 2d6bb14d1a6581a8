"""What grounds aircraft, of everything that is known: what is fitted, what is open, what falls due."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from equipment.common.wording import unit_words
from equipment.complement.reads import complements_of
from equipment.grounding.rule import Groundings, of_equipment
from equipment.judging.deferral import every_words
from equipment.judging.release.obstacles import Obstacle
from equipment.models import OpenItem, Unit
from fleet.aircraft.planned import left_by
from fleet.aircraft.ports import Grounding
from fleet.models import AircraftPosition
from fleet.words.said import day_words
from scheduling.due.due_list import grounding_items
from scheduling.due.failed import FailedWork, failed_works
from scheduling.due.open_items.ends import End, open_ends
from scheduling.engine.basis.bands import Band
from scheduling.engine.telling.flags import UNSHOWN, missing_words
from scheduling.facts.condition.unfit import unfit_on
from scheduling.facts.items import Item
from scheduling.models import Limit


def what_grounds(aircraft_ids: Sequence[int] | None, on: date) -> Groundings:
    """Everything that grounds each of these aircraft (all: None) on a day; one that nothing does is missing.

    The same facts as the flag of its due items: a limit passed with which it may not fly, one that cannot
    be shown to be kept for want of a fact, and a unit that is not serviceable, unless a document lets it
    stay; and what must be on board and is not.
    """
    found = of_equipment(aircraft_ids, on, unfit_on(aircraft_ids, on))
    for aircraft, of_limits in _of_limits(aircraft_ids, on).items():
        found[aircraft] = [*found.get(aircraft, []), *of_limits]
    for failed in failed_works(aircraft_ids, on):
        if failed.grounds(on):
            found.setdefault(failed.aircraft_id, []).append(_failed(failed))
    for aircraft, of_cabin in _of_complements(aircraft_ids, on).items():
        found[aircraft] = [*found.get(aircraft, []), *of_cabin]
    for end in open_ends(on):
        if (
            end.is_repeat
            and end.is_past
            and (aircraft_ids is None or end.item.aircraft_id in aircraft_ids)
        ):
            found.setdefault(end.item.aircraft_id, []).append(_not_repeated(end))
    gone = left_by(on) if found else frozenset()
    return {aircraft: why for aircraft, why in found.items() if aircraft not in gone}


def why_not_repeated(place_id: int, on: date) -> list[Obstacle]:
    """The actions that are repeated while an item of a place is open and are overdue on a day."""
    repeated = OpenItem.objects.open_on(on).filter(place=place_id).exclude(repeat_actions="")
    if not (keys := set(repeated.values_list("pk", flat=True))):
        return []
    return [
        Obstacle(overdue.code, overdue.sentence)
        for end in open_ends(on)
        if end.item.pk in keys and end.is_repeat and end.is_past
        for overdue in [_not_repeated(end)]
    ]


def _of_complements(aircraft_ids: Sequence[int] | None, on: date) -> Groundings:
    """What the cabin as it is stated must have on board and has not."""
    return {
        aircraft: [
            Grounding(
                "complement_not_met",
                f"Required complement not met: {each.kind}, {each.short} ({each.wanted}, {each.document}).",
            )
            for each in complement.short
        ]
        for aircraft, complement in complements_of(aircraft_ids, on).items()
        if complement.short
    }


def _failed(work: FailedWork) -> Grounding:
    """That a work on the aircraft or a position failed, and was not passed since."""
    at = f"{work.position}: " if work.position else ""
    words = f"{at}{work.work} of {day_words(work.done_on)} failed, and has not passed since."
    if not work.position:
        words += " No open item of the aircraft that is in force names it."
    return Grounding("work_failed", words, work.position)


def _not_repeated(end: End) -> Grounding:
    """That what is repeated while an item is open was not done in time."""
    item = end.item
    position = item.place.aircraft_position if item.place else None
    every = every_words(item.repeat_days, item.repeat_hours)
    words = (
        f"{item.words.rstrip('.')}: {item.repeat_actions.rstrip('.')}, {every} by {item.document},"
        f" was last due {'by ' + day_words(end.due_on) if end.due_on else 'by hours flown'}."
    )
    return Grounding(
        "repeat_action_overdue", words, position.type_position.code if position else ""
    )


def _of_limits(aircraft_ids: Sequence[int] | None, on: date) -> Groundings:
    """What is past a limit, or cannot be shown to be inside it. What is only in a unit that is not serviceable is told with that unit."""
    every = grounding_items(aircraft_ids, on)
    items = [each for each in every if each.band in (Band.OVERDUE, Band.NO_BASIS)]
    limits = Limit.objects.in_bulk({item.limit_id for item in items})
    keys = {item.unit_id for item in items if item.unit_id is not None}
    units = Unit.objects.select_related("part_number").in_bulk(keys)
    positions = AircraftPosition.objects.select_related("type_position").in_bulk(
        {item.position_id for item in items if item.position_id is not None}
    )
    found: Groundings = {}
    for item in items:
        position = positions.get(item.position_id or 0)
        at = position.type_position.code if position else ""
        words = _sentence(item, limits[item.limit_id], units.get(item.unit_id or 0), at)
        of_aircraft = found.setdefault(item.aircraft_id or 0, [])
        code = "limit_unknown" if item.band == Band.NO_BASIS else "limit_passed"
        of_aircraft.append(Grounding(code, words, at, unit_id=item.unit_id))
    return found


def _sentence(item: Item, limit: Limit, unit: Unit | None, position: str) -> str:
    at = f"{position}: " if position else ""
    what = f"{unit_words(unit)}, " if unit else ""
    if item.band == Band.NO_BASIS:
        missing = ", ".join(missing_words(item.missing))
        return f"{at}{what}{limit.title} ({limit.code}): {UNSHOWN}, not recorded is {missing}."
    since = f" since {day_words(item.due_on)}" if item.due_on else ""
    return f"{at}{what}{limit.title} ({limit.code}): past its limit{since}."
