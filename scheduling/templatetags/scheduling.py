"""What scheduling offers to the pages of aircraft and units: their due items, drawn and listed."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from urllib.parse import urlencode

from django import template
from django.db.models import Model
from django.urls import reverse

from equipment.ledger.nesting import inside_now
from equipment.ledger.on_aircraft import FittedRow, Held
from equipment.units.histories import Entry, newest_first
from fleet.aircraft.reads import PositionRow, coming_checks
from fleet.drawing.cabin import Place
from fleet.drawing.checks import PlannedCheck
from fleet.drawing.states import state_of, worst_of
from fleet.house.desks import may
from fleet.house.pages import today
from fleet.models import Aircraft, Check, User
from fleet.offers.offer import Ways, ways_on
from scheduling.due import due_list
from scheduling.due.lists.filters import DueFilters
from scheduling.due.lists.rows import BANDS, DueRow
from scheduling.due.pages import reads, shown
from scheduling.due.uncovered import uncovered
from scheduling.due.views.reads import views_for
from scheduling.due.without_limit import is_without_limit
from scheduling.offers import OFFERS
from scheduling.programme.reads import work_entries

register = template.Library()
LOUD = ("unserviceable", "overdue", "no-basis", "out-of-phase")


@dataclass(frozen=True, slots=True)
class CheckGroup:
    """A check with what falls due before it and what is to be done at it."""

    check: Check
    before: list[shown.Item]
    at: list[shown.Item]


@register.simple_tag
def bands_by_aircraft() -> dict[int, dict[str, int]]:
    """How many due items of each aircraft are in each band today."""
    return reads.bands_by_aircraft(today())


@register.inclusion_tag("scheduling/due/aircraft/_bands.html")
def aircraft_bands(
    counts: dict[int, dict[str, int]], aircraft_id: int, registration: str
) -> dict[str, Any]:
    """The bands of one aircraft that need a person, each a way into the due list."""
    of_aircraft = counts.get(aircraft_id, {})
    wanted = [
        (code, word)
        for code, word in BANDS
        if of_aircraft.get(code) and (code in LOUD or code == "next-check")
    ]
    return {
        "registration": registration,
        "bands": [
            {
                "code": code,
                "word": word,
                "count": of_aircraft[code],
                "address": f"?aircraft={registration}&band={code}",
            }
            for code, word in wanted
        ],
    }


@register.inclusion_tag("scheduling/programme/_of_aircraft.html")
def programme_of(aircraft: Aircraft, day: date, known_at: datetime | None) -> dict[str, Any]:
    """The programme an aircraft follows on a day, as the records said at ``known_at``."""
    programme = reads.programme_on(aircraft.pk, day, known_at)
    return {"programme": programme, "is_past": known_at is not None}


@register.simple_tag
def aircraft_due(aircraft: Aircraft, day: date, known_at: datetime | None) -> list[DueRow]:
    """All due items of one aircraft as of a day, most urgent first; none as the records said at an
    earlier time: nobody kept what was reckoned then."""
    if known_at:
        return []
    return list(due_list.due_rows(filters=DueFilters(aircraft=aircraft.registration), as_of=day))


@register.inclusion_tag("scheduling/due/aircraft/_plan.html", takes_context=True)
def aircraft_plan(
    context: dict[str, Any], positions: list[PositionRow], held: Held, recorded: set[int]
) -> dict[str, Any]:
    """The cabin plan, each position in the worst state of what is in it."""
    bands: dict[str, list[DueRow]] = defaultdict(list)
    aircraft = context["aircraft"]
    for row in context["due"]:
        bands[row.position].append(row)
    places = [
        _place(
            position,
            held.get(position.id, []),
            bands[position.code],
            is_recorded=position.id in recorded,
        )
        for position in positions
    ]
    there = [
        place
        for place, position in zip(places, positions, strict=True)
        if position.state != "absent"
    ]
    codes = {place.state for place in there}
    return {
        "plan": aircraft.aircraft_type.plan,
        "places": there,
        "label": f"Cabin plan of {aircraft.registration}",
        "key": [state_of(code) for code in _in_order(codes)],
    }


def _in_order(codes: set[str]) -> list[str]:
    found = []
    while codes:
        worst = worst_of(list(codes))
        found.append(worst)
        codes = codes - {worst}
    return found


def _place(
    position: PositionRow, held: list[FittedRow], due: list[DueRow], *, is_recorded: bool
) -> Place:
    outer = [row for row in held if row.depth == 0]
    if position.state != "active":
        code, what = "deactivated", f"deactivated by {position.document}"
    elif (taken := sum(row.quantity for row in outer)) < position.capacity:
        code = "not-fitted" if is_recorded else "not-recorded"
        nothing = "nothing fitted" if is_recorded else "nothing is recorded"
        what = f"{taken} of {position.capacity} fitted" if outer else nothing
    else:
        code = worst_of([row.band for row in due])
        what = state_of(code).word
    units = ", ".join(f"{row.part_number} S/N {row.serial_number}" for row in outer[:3])
    words = f"{position.code}, {position.name}: {what}" + (f" ({units})" if units else "")
    return Place(
        position.code,
        position.name,
        position.x_cm,
        position.y_cm,
        code,
        f"#pos-{position.id}",
        words,
    )


@register.inclusion_tag("scheduling/due/aircraft/_checks.html")
def aircraft_checks(aircraft: Aircraft, day: date, due: list[DueRow]) -> dict[str, Any]:
    """The aircraft's checks on a time line, and what falls due before and at each."""
    checks = list(coming_checks(aircraft.pk, day))
    groups = _groups(checks, due, day)
    planned = [
        PlannedCheck(
            name=group.check.name,
            starts_on=group.check.starts_on,
            ends_on=group.check.ends_on,
            station=group.check.station.code,
            is_overnight=group.check.sort == Check.OVERNIGHT,
            due_before=len(group.before),
            due_at=len(group.at),
            href=f"#check-{group.check.pk}" if group.before or group.at else "",
        )
        for group in groups
    ]
    return {
        "planned": planned,
        "groups": [g for g in groups if g.before or g.at],
        "day": day,
        "as_of": day,
        "as_of_query": f"?as_of={day:%Y-%m-%d}",
    }


def _groups(checks: list[Check], due: list[DueRow], day: date) -> list[CheckGroup]:
    """Each item once: at the check it is given to, else before the first check after its end."""
    groups = [CheckGroup(check, [], []) for check in checks]
    by_id = {group.check.pk: group for group in groups}
    whole = [group for group in groups if group.check.sort == Check.CHECK]
    for row in due:
        if row.band in LOUD:
            # Not serviceable, overdue without a date, or without a basis: before the next check in any case.
            is_now = row.band == "unserviceable"
            ends_on = date.min if is_now else row.due_on or row.worst_on or date.min
            group = next(
                (g for g in whole if g.check.starts_on > ends_on and g.check.starts_on >= day), None
            )
            if group:
                group.before.extend(shown.items_of([row], day))
        elif row.check_id in by_id and row.band not in LOUD:
            by_id[row.check_id].at.extend(shown.items_of([row], day))
    return groups


@register.inclusion_tag("scheduling/due/_of_unit.html")
def unit_limits(unit: Any, day: date) -> dict[str, Any]:
    """A unit's limits as life lines, the first to run out on top, and what is left of each."""
    found = due_list.due_rows(filters=DueFilters(unit_id=unit.pk), as_of=day)
    # What no limit covers is said in a sentence of its own, of a spare too.
    rows = [row for row in found if not is_without_limit(row.id)]
    rows.sort(key=lambda row: (row.due_on or row.worst_on or date.max, row.id))
    items = shown.items_of(rows, day)
    return {
        "items": items,
        "lines": [item.line for item in items],
        "day": day,
        "as_of": day,
        "taken_off": due_list.taken_off(unit.pk, rows, day),
        "uncovered": list(uncovered(inside_now([unit.pk])[unit.pk], day).values()),
    }


@register.simple_tag(takes_context=True)
def entered_on(context: dict[str, Any], page: str, thing: Model) -> Ways:
    """What the person who looks may enter by hand of this thing, on pages that stand on this one."""
    return ways_on(OFFERS, "scheduling", page, thing, context.get("user"))


@register.simple_tag(takes_context=True)
def entries_of_aircraft(context: dict[str, Any], registration: str) -> list[tuple[str, str]]:
    """What the person who looks at an aircraft's page may enter of it: address and words of each."""
    user, asked = context.get("user"), f"?aircraft={registration}"
    ways = (
        ("record_reading", reverse("scheduling:readings", args=[registration]), "readings"),
        ("plan_check", reverse("scheduling:check_plan", args=[registration]), "a check"),
        ("enter_fleet_data", reverse("scheduling:enter_status") + asked, "parked, in service"),
        ("enter_fleet_data", reverse("scheduling:enter_bases") + asked, "another station"),
        ("enter_programme", reverse("scheduling:enter_followed") + asked, "another programme"),
    )
    return [(address, words) for act, address, words in ways if may(user, act)]


@register.inclusion_tag("equipment/units/_history.html")
def unit_history(entries: list[Entry], unit_ids: list[int]) -> dict[str, Any]:
    """What equipment knows of a unit, and the works done on it, in one order."""
    return {"entries": newest_first([*entries, *work_entries(unit_ids)])}


@register.simple_tag(takes_context=True)
def due_views(context: Any) -> list[Any]:
    """The views of the due list that its reader is shown. One question."""
    person = context["request"].user
    return list(views_for(person)) if isinstance(person, User) else []


@register.simple_tag
def view_query(asked: list[tuple[str, str]], columns: str) -> str:
    """The address's query that keeps the list as it is shown now, its day left out."""
    return "?" + urlencode([*(pair for pair in asked if pair[0] != "as_of"), ("columns", columns)])
