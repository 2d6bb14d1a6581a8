"""Rules of an invented programme and what is done under them: what tests of due items stand on.

The stored list holds for ``DAY``, so that an act's own transaction reckons for that day.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import Any
from uuid import uuid4

from equipment.models import Unit
from fleet.models import Aircraft, AircraftPosition, PositionState
from scheduling.due.lists import reckoned, stored
from scheduling.due.lists.filters import DueFilters
from scheduling.due.lists.scope import scope_of
from scheduling.facts.items import Item
from scheduling.models import Clock, DueItem, Limit, Programme, ProgrammeOfAircraft, Work, WorkDone
from scheduling.programme.acts.dispositions import NewDisposition, disposition_directives
from scheduling.programme.acts.works import NewWork, record_works
from scheduling.reckoning.bulk import recompute_all
from scheduling.reckoning.recompute import recompute_stale
from tests import builders as build

DAY = date(2027, 6, 1)


@dataclass(frozen=True)
class Runs:
    """A clock: its measure, its amounts as (how much, which turn), and its other columns."""

    measure: str
    amounts: list[tuple[int, str]]
    columns: dict[str, Any] = field(default_factory=dict)


def every(months: int, **columns: Any) -> Runs:
    """So many months from the last work, the first time from ``first_from``."""
    return Runs("months", [(months, "any")], {"counts_from": "last_done", **columns})


def once(measure: str, amount: int, since: str) -> Runs:
    """So much from a given date, until it is done."""
    return Runs(
        measure, [(amount, "first")], {"counts_from": "given_date", "given_on": build.day(since)}
    )


def again(months: int) -> Runs:
    """So many months from the last work, once there is one."""
    return Runs("months", [(months, "repeat")], {"counts_from": "last_done"})


def the_programme() -> Programme:
    named = {"name": "Narrow fleet", "revision": "7", "govern_spares": True}
    return Programme.objects.get_or_create(code="NARROW-MP", defaults=named)[0]


def the_work(code: str) -> Work:
    return Work.objects.get_or_create(code=code, defaults={"name": code.capitalize()})[0]


def follows(aircraft: Aircraft, programme: Programme | None = None) -> Aircraft:
    """The same aircraft, following the programme since 2020."""
    ProgrammeOfAircraft.objects.create(
        aircraft=aircraft,
        programme=programme or the_programme(),
        from_on=date(2020, 1, 1),
        recorded_at=build.NOW,
    )
    return aircraft


def a_rule(code: str, *clocks: Runs, work: str = "INSPECT", parts: Any = (), **more: Any) -> Limit:
    made = Limit.objects.create(
        programme=more.pop("programme", None) or the_programme(),
        code=code,
        title=code,
        revision=more.pop("revision", "1"),
        work=the_work(work),
        document="VAR-MP",
        document_revision="7",
        recorded_at=build.NOW,
        **more,
    )
    made.part_numbers.set(parts)
    for seq, runs in enumerate(clocks, 1):
        clock = Clock.objects.create(limit=made, seq=seq, measure=runs.measure, **runs.columns)
        for place, (value, when) in enumerate(runs.amounts, 1):
            clock.amounts.create(seq=place, value=value, when=when)
    return made


def a_directive(code: str, *clocks: Runs, **more: Any) -> Limit:
    return a_rule(code, *clocks, work="VALVECHK", is_directive=True, paragraph="(a)", **more)


def reckon() -> None:
    """The night's run: the stored list is of ``DAY`` from now on."""
    recompute_all(as_of=DAY, now=build.NOW)


# --- what is done --------------------------------------------------------------------------------


def done(work: str, when: str, **more: Any) -> WorkDone:
    row = NewWork(
        work_id=the_work(work).pk,
        done_on=build.day(when),
        act_id=more.pop("act_id", uuid4()),
        **{"result": "passed"} | more,
    )
    [made] = record_works(by=build.a_person("controller"), rows=[row], now=build.NOW)
    return made


def disposed(limit: Limit, unit: Unit, sort: str, when: str, reason: str = "By letter.") -> None:
    row = NewDisposition(limit.pk, unit.pk, sort, build.day(when), reason)
    disposition_directives(by=build.a_person("controller"), rows=[row], now=build.NOW)


def stated(position: AircraftPosition, state: str, when: str) -> PositionState:
    return PositionState.objects.create(
        position=position,
        state=state,
        from_on=build.day(when),
        document="VAR-MEL 52-22",
        recorded_at=build.NOW,
    )


def position(aircraft: Aircraft, code: str) -> AircraftPosition:
    return AircraftPosition.objects.get(aircraft=aircraft, type_position__code=code)


# --- what is due ---------------------------------------------------------------------------------


def item(limit: Limit, **subject: Any) -> DueItem:
    """The one stored item of a limit, of a subject if it is named."""
    return DueItem.objects.get(limit=limit, **subject)


def due(limit: Limit, **subject: Any) -> str | None:
    """The date of that item, None where it has none."""
    on = item(limit, **subject).due_on
    return on.isoformat() if on else None


def is_item(limit: Limit, **subject: Any) -> bool:
    return DueItem.objects.filter(limit=limit, **subject).exists()


def on_another_day(day: str) -> list[Item]:
    """Every item as of another day: the same engine, nothing stored."""
    scope = scope_of(DueFilters())
    lists = reckoned.listed(scope, build.day(day)).everything(scope, 10**6)
    return [one for items in lists for one in items]


def everything_stored() -> list[Item]:
    return [one for items in stored.everything(scope_of(DueFilters())) for one in items]


def drained() -> None:
    """What the job does every few seconds, until nothing is stale (three times at most)."""
    for _ in range(3):
        recompute_stale(DAY)


# --- two rules about places ------------------------------------------------------------------------


def girt_fittings(**more: Any) -> Limit:
    """Girt fittings at the door: 24 months, the first time from 14 July 2025."""
    since = {"first_from": "given_date", "given_on": build.day("2025-07-14")}
    return a_rule(
        "GIRT", every(24, **since), subject="position", positions=["D1L-SLIDE", "D1R-SLIDE"], **more
    )


def lighting_test(**more: Any) -> Limit:
    """System test: 12 months, the first time from 30 June 2026."""
    since = {"first_from": "given_date", "given_on": build.day("2026-06-30")}
    return a_rule("LIGHTING", every(12, **since), work="FUNCTION", subject="aircraft", **more)
