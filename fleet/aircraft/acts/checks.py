"""Checks and overnight stops: planned, moved, cancelled."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from fleet.acts.act import Act
from fleet.acts.fields import Heading, choice, coded, codes, day, text, yes_no
from fleet.acts.repeats import Recorded, retry_after_clash
from fleet.aircraft.planned import leaving_days
from fleet.house.desks import ask
from fleet.house.pages import zone
from fleet.house.refusals import Reasons, Refusal
from fleet.house.signals import facts_changed
from fleet.models import Check, CheckRecord, Station, User
from fleet.words.said import day_words

from .slots import last_day, people_said, slot_said, why_not_in_slots

AT_ONCE = 5000


@dataclass(frozen=True, slots=True)
class PlannedCheck:
    """A check as planned. One of the same aircraft, name and first day is changed to this; so is the one
    check of that name that is not over, if it is planned for another day: it is moved. Overnight stops
    share their names, and are told apart by their days."""

    aircraft_id: int
    name: str = text(
        "Name", 40, heading=Heading("Name", "Name of the check, such as A21.", ("check",))
    )
    starts_on: date = day(
        "Starts on", heading=Heading("Starts on", "First day.", ("start", "from", "in"))
    )
    ends_on: date = day(
        "Ends on",
        help="The last day on the ground.",
        heading=Heading("Ends on", "Last day.", ("end", "to", "out")),
    )
    station_id: int = coded(
        "Station",
        Station,
        "code",
        "station",
        most=8,
        help="A station's code.",
        heading=Heading("Station", "Code of the station.", ("base",)),
    )
    sort: str = choice(
        "Sort",
        Check.SORTS,
        default=Check.CHECK,
        heading=Heading("Sort", "check or overnight stop; blank: check."),
    )
    abilities: Sequence[str] = codes(
        "Abilities",
        24,
        items=100,
        help="Empty: all works.",
        heading=Heading("Abilities", "Codes of works possible there; blank: all."),
    )
    is_cancelled: bool = yes_no(
        "Cancelled", heading=Heading("Cancelled", "yes if it will not be held.")
    )
    slot: str | None = slot_said()
    people: int | None = people_said()


Key = tuple[int, str, date]


def _key(check: PlannedCheck | Check) -> Key:
    return check.aircraft_id, check.name, check.starts_on


def why_not_plan(
    rows: Sequence[PlannedCheck], today: date, besides: frozenset[int] = frozenset()
) -> dict[int, list[Refusal]]:
    """Why rows of this plan are refused, by their place in it: an aircraft that has left by then, an end
    before the start, days that overlap another check of the aircraft (to end and begin on one day is no
    overlap), a hangar slot that another has on one of the days, a check that was closed. Checks of
    ``besides`` are in nobody's way."""
    found: dict[int, list[Refusal]] = defaultdict(list)
    moved = _moved(rows, today)
    replaced = {_key(row) for row in rows} | {_key(one) for one in moved.values()}
    beside: dict[int, list[PlannedCheck | Check]] = defaultdict(list)
    aircraft = {row.aircraft_id for row in rows}
    there = {}
    for check in Check.objects.filter(aircraft__in=aircraft):
        there[_key(check)] = check
        if not check.is_cancelled and _key(check) not in replaced and check.pk not in besides:
            beside[check.aircraft_id].append(check)
    gone = leaving_days(aircraft)
    stood = {key: there.get(key) or moved.get(key) for key in map(_key, rows)}
    for index, refusal in why_not_in_slots(rows, stood, besides):
        found[index].append(refusal)
    for index, row in enumerate(rows):
        own = _by_itself(row, gone.get(row.aircraft_id), stood[_key(row)])
        found[index] += own
        if row.is_cancelled or any(each.field != "starts_on" for each in own):
            continue
        if other := next((o for o in beside[row.aircraft_id] if _overlap(row, o)), None):
            found[index].append(_overlapping(row, other))
        beside[row.aircraft_id].append(row)
    return {index: reasons for index, reasons in found.items() if reasons}


def _by_itself(row: PlannedCheck, left_on: date | None, there: Check | None) -> list[Refusal]:
    """Why a row is refused whatever stands beside it; ``left_on``: when its aircraft leaves the fleet, ``there``:
    the check that it is."""
    found = []
    if left_on is not None and row.starts_on >= left_on and not row.is_cancelled:
        words = f"The aircraft leaves the fleet on {day_words(left_on)}: plan it before, or take that back."
        found.append(Refusal("aircraft_left", words, "starts_on"))
    if row.ends_on < row.starts_on:
        words = f"{row.name} ends on {day_words(row.ends_on)}, before it starts. Change a date."
        found.append(Refusal("check_ends_before_start", words, "ends_on"))
    elif closed := _closed(row, there):
        found.append(closed)
    return found


def _moved(rows: Sequence[PlannedCheck], today: date) -> dict[Key, Check]:
    """By the key of a row the check that it moves: the only one of its aircraft and name that is not over
    by ``today``, where the row is the only one of that name and for another day."""
    named: dict[tuple[int, str], list[PlannedCheck]] = defaultdict(list)
    for row in rows:
        if row.sort == Check.CHECK:
            named[row.aircraft_id, row.name].append(row)
    there: dict[tuple[int, str], list[Check]] = defaultdict(list)
    standing = Check.objects.filter(
        aircraft__in={row.aircraft_id for row in rows},
        sort=Check.CHECK,
        is_cancelled=False,
        closed_on=None,
    )
    for check in standing.filter(ends_on__gte=today).order_by("pk"):
        there[check.aircraft_id, check.name].append(check)
    found = {}
    for name, [row, *others] in named.items():
        planned = there.get(name, [])
        if not others and len(planned) == 1 and _key(planned[0]) != _key(row):
            found[_key(row)] = planned[0]
    return found


def _overlap(one: PlannedCheck, other: PlannedCheck | Check) -> bool:
    if one.sort != other.sort:  # an overnight stop may stand within a longer ground time
        return False
    inside = one.starts_on < last_day(other) and other.starts_on < last_day(one)
    return inside or one.starts_on == other.starts_on


def _closed(row: PlannedCheck, there: Check | None) -> Refusal | None:
    """Why a check that was closed is not planned anew; None where it stays as it is."""
    if there is None or there.closed_on is None or _is_same(row, there):
        return None
    words = f"{there.name} was closed on {day_words(there.closed_on)}: plan another one."
    return Refusal("check_closed", words, "name")


def _is_same(row: PlannedCheck, check: Check) -> bool:
    kept = (check.ends_on, check.station_id, check.is_cancelled)
    return kept == (row.ends_on, row.station_id, row.is_cancelled)


def _overlapping(row: PlannedCheck, other: PlannedCheck | Check) -> Refusal:
    return Refusal(
        "checks_overlap",
        f"{row.name} from {day_words(row.starts_on)} overlaps {other.name}, {day_words(other.starts_on)}"
        f" to {day_words(other.ends_on)}. Move one of them or cancel it.",
        "starts_on",
    )


@transaction.atomic
def plan_checks(
    *, by: User, rows: Sequence[PlannedCheck], today: date, at: datetime
) -> list[Check]:
    """This will plan checks, or change and move those already planned and not over by ``today``, and
    return them in their order.

    Refuses what :func:`why_not_plan` says of any of them.
    """
    ask(by, "plan_check")
    reasons = Reasons(
        [reason for refusals in why_not_plan(rows, today).values() for reason in refusals]
    )
    reasons.refuse()
    wanted = {_key(row): row for row in rows}
    there = {
        _key(check): check
        for check in Check.objects.select_for_update()
        .filter(aircraft__in={row.aircraft_id for row in rows})
        .order_by("pk")
    }
    moved = {key: check for key, check in _moved(rows, today).items() if key not in there}
    there |= moved
    new = [filled(Check(), row) for key, row in wanted.items() if key not in there]
    changed = [filled(there[key], row) for key, row in wanted.items() if key in there]
    Check.objects.bulk_create(new, batch_size=AT_ONCE)
    columns = [
        *("starts_on", "ends_on", "station", "sort", "abilities", "slot", "people"),
        "is_cancelled",
    ]
    Check.objects.bulk_update(changed, columns, batch_size=AT_ONCE)
    note_planned([*new, *changed], by, at)
    made = {_key(check): check for check in [*new, *changed]}
    touched = sorted({row.aircraft_id for row in rows})
    facts_changed.send(sender=plan_checks, unit_ids=[], aircraft_ids=touched)
    return [made[_key(row)] for row in rows]


def plan_check(*, by: User, check: PlannedCheck, at: datetime) -> Recorded:
    """This will plan one check, or change the one of its name and first day. Refuses as
    :func:`plan_checks` does."""
    known = set(Check.objects.filter(aircraft=check.aircraft_id).values_list("pk", flat=True))
    today = at.astimezone(zone()).date()
    [made] = retry_after_clash(lambda: plan_checks(by=by, rows=[check], today=today, at=at))
    return Recorded(made.pk, made.pk not in known)


def note_planned(checks: Sequence[Check], by: User, at: datetime) -> None:
    """This will keep how checks are planned from now on, and by whom."""
    CheckRecord.objects.bulk_create(
        (
            CheckRecord(
                check_planned=each,
                aircraft_id=each.aircraft_id,
                name=each.name,
                starts_on=each.starts_on,
                ends_on=each.ends_on,
                station_id=each.station_id,
                slot=each.slot,
                is_cancelled=each.is_cancelled,
                recorded_at=at,
                recorded_by=by,
            )
            for each in checks
        ),
        batch_size=AT_ONCE,
    )


def filled(check: Check, row: PlannedCheck) -> Check:
    check.aircraft_id, check.name, check.starts_on = _key(row)
    check.ends_on, check.station_id, check.sort = row.ends_on, row.station_id, row.sort
    check.abilities, check.is_cancelled = list(row.abilities), row.is_cancelled
    check.slot = check.slot if row.slot is None else row.slot.strip()
    check.people = check.people if row.people is None else row.people
    return check


# --- declared ---------------------------------------------------------------------------------

PLAN_CHECK = Act(
    name="plan_check",
    does=plan_check,
    said=PlannedCheck,
    as_="check",
    known_by="the aircraft and name",
    tag="Aircraft",
    summary="Plan a check",
    description="Plans a check or an overnight stop. A check of the same name that is "
    "not over is changed to what is sent (and answers 200): moved, extended, cancelled. Overnight stops "
    "are known by name and first day.",
    address="aircraft/<str:registration>/checks",
    example={
        "name": "C4",
        "starts_on": "2027-06-07",
        "ends_on": "2027-06-18",
        "station": "LYD",
    },
)
