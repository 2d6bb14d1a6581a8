"""Random aircraft, units, works and limits of every kind of clock; and the same facts in columns."""

from __future__ import annotations

import random
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from fractions import Fraction
from typing import Any

import numpy as np

from scheduling.engine.basis import columns as c
from scheduling.engine.basis.bands import Checks, Planned
from scheduling.engine.basis.limits import Amount, Clock, Limit, Variation, words_of
from tests.agreement.naive import Aircraft, Period, Unit, Work, end_of_day
from tests.scheduling.engine.builders import CODES, MEASURES, METHODS, STANDARDS

AS_OF = date(2026, 11, 25)
WORDS = words_of(Clock)
STARTS = WORDS["counts_from"]
#: The first time cannot count from the last.
NOT_FIRST = ("last_done",)
PRECISIONS = {"day": c.DAY, "month": c.MONTH, "year": c.YEAR}


@dataclass
class Case:
    limit: Limit
    unit: Unit | None
    aircraft: Aircraft | None
    work: Work
    #: Revisions of the limit that are in force from a later day on.
    later: tuple[tuple[date, Limit], ...] = ()


def some_day(rng: random.Random, first: int, last: int) -> date:
    """A day so many days from the day asked; ends of months more often than chance."""
    day = AS_OF + timedelta(days=rng.randint(first, last))
    if rng.random() < 0.25:
        day = (day.replace(day=28) + timedelta(days=4)).replace(day=1) - timedelta(days=1)
    return day


def maybe(rng: random.Random, chance: float, value: Any) -> Any:
    return value if rng.random() < chance else None


def an_aircraft(rng: random.Random) -> Aircraft:
    readings = {}
    for code in ("FH", "FC"):
        if rng.random() < 0.1:
            continue
        day, total, rows = some_day(rng, -1100, -200), rng.randint(0, 400_000), []
        gain = rng.choice((0, 3, 400, 700))
        while day < AS_OF + timedelta(days=rng.choice((-40, 0, 30))):
            at = end_of_day(day) if rng.random() < 0.8 else datetime.combine(day, time(15, 30))
            rows.append((at, total))
            day += timedelta(days=rng.choice((1, 1, 7, 30)))
            total += rng.randint(0, 2 * gain)
        readings[code] = rows
    planned = {code: rng.choice((0, 1500, 420_000)) for code in ("FH", "FC") if rng.random() < 0.3}
    checks, day = [], AS_OF + timedelta(days=rng.randint(-60, 60))
    for _ in range(rng.randint(0, 9)):
        checks.append((day, day + timedelta(days=rng.randint(0, 10)), rng.random() < 0.3))
        day += timedelta(days=rng.randint(20, 200))
    made = maybe(rng, 0.8, some_day(rng, -7000, -1200))
    return Aircraft(made, rng.random() < 0.15, readings, planned, checks, _use_to_come(rng))


def _use_to_come(rng: random.Random) -> list[tuple[date, bool, dict[str, int]]]:
    """From which later days on it is parked or flies again, and what the planner says it will fly."""
    days = sorted({some_day(rng, 5, 500) for _ in range(rng.choice((0, 0, 1, 2, 3)))})
    return [
        (
            day,
            rng.random() < 0.4,
            {code: rng.choice((0, 900, 333_333)) for code in ("FH", "FC") if rng.random() < 0.5},
        )
        for day in days
    ]


def a_unit(rng: random.Random, fleet: list[Aircraft]) -> Unit:
    known_to = rng.choice(("day", "day", "month", "year"))
    made = some_day(rng, -8000, -900)
    if known_to != "day":
        made = made.replace(day=1, month=1 if known_to == "year" else made.month)
    unit = Unit(
        manufactured=maybe(rng, 0.85, made),
        manufactured_to=known_to,
        life=maybe(rng, 0.7, rng.randint(40, 200)),
        standard=maybe(rng, 0.8, rng.choice(STANDARDS)),
        new=rng.random() < 0.4,
    )
    _lived(rng, unit, fleet)
    for code in CODES:
        if rng.random() < 0.6:
            days = sorted({some_day(rng, -900, 0) for _ in range(rng.randint(1, 3))})
            total, rows = rng.randint(0, 5000), []
            for day in days:
                rows.append((day, total))
                total += rng.randint(0, 300_000 if code == "FH" else 400)
            unit.statements[code] = rows
    return unit


def _lived(rng: random.Random, unit: Unit, fleet: list[Aircraft]) -> None:
    """Stays one after the other: stores, aircraft, and gaps that nobody recorded."""
    day = some_day(rng, -1000, -100)
    for _ in range(rng.randint(0, 5)):
        ends = day + timedelta(days=rng.randint(1, 420))
        is_last = ends >= AS_OF
        sort = rng.choice(("store", "aircraft", "gap"))
        if sort == "store" and not (unit.store and unit.store[-1][1] == day):
            unit.store.append((day, None if is_last else ends))
        if sort == "aircraft":
            _fitted(rng, unit, fleet, day, None if is_last else ends)
        if is_last:
            break
        day = ends
    if unit.periods:
        first = unit.periods[0].begun.date()
        unit.first_installed = maybe(rng, 0.8, first)


def _fitted(
    rng: random.Random, unit: Unit, fleet: list[Aircraft], day: date, ends: date | None
) -> None:
    aircraft = rng.choice(fleet)
    begun = datetime.combine(day, time(rng.randint(0, 11)))
    ended = datetime.combine(ends, time(rng.randint(12, 23))) if ends else None
    if ends and rng.random() < 0.5:
        # Removed before noon, so that another fitting may follow on the same day.
        ended = datetime.combine(ends, time(0))
    if unit.periods and unit.periods[-1].ended and unit.periods[-1].ended > begun:
        return
    period = Period(aircraft, begun, ended)
    if rng.random() < 0.3:
        period.begun_totals = {"FH": rng.randint(0, 300_000)}
        if ended and rng.random() < 0.5:
            period.ended_totals = {"FH": period.begun_totals["FH"] + rng.randint(0, 90_000)}
    unit.periods.append(period)
    if ends is None:
        unit.aircraft = aircraft
        unit.installed = maybe(rng, 0.9, day)


def a_work(rng: random.Random) -> Work:
    if rng.random() < 0.25:
        return Work(more_days=rng.choice((0, 20)), more_minutes=rng.choice((0, 600)))
    known_to = rng.choice(("day", "day", "day", "month"))
    done = some_day(rng, -1200, -1)
    done = done.replace(day=1) if known_to == "month" else done
    totals = {code: rng.randint(0, 90_000) for code in CODES if rng.random() < 0.3}
    return Work(
        done=done,
        done_to=known_to,
        released=maybe(rng, 0.5, done + timedelta(days=rng.randint(0, 9))),
        shop_released=maybe(rng, 0.5, done + timedelta(days=rng.randint(0, 9))),
        original_due=maybe(rng, 0.5, done + timedelta(days=rng.randint(-45, 45))),
        method=maybe(rng, 0.7, rng.choice(METHODS)),
        totals=totals,
        original_totals={code: total + rng.randint(-900, 900) for code, total in totals.items()},
        more_days=rng.choice((0, 0, 20, 90)),
        more_minutes=rng.choice((0, 0, 600)),
        more_count=rng.choice((0, 0, 15)),
    )


def _amounts(rng: random.Random, measure: str) -> tuple[Amount, ...]:
    most = {"months": 150, "days": 1500, "FH": 300_000, "FC": 3000, "FILL": 5000, "USE": 600}[
        measure
    ]
    fresh = lambda: max(1, rng.randint(most // 12, most))
    shape = rng.randint(0, 7)
    basis = rng.choice(("at_work", "at_due"))
    age = rng.choice((60, 120, 180))
    if shape <= 2:
        return (Amount(fresh()),)
    if shape == 3:
        return (Amount(fresh(), when="first"), Amount(fresh(), when="repeat"))[: rng.randint(1, 2)]
    if shape == 4:
        some = (Amount(fresh(), method=METHODS[0]), Amount(fresh(), method=METHODS[1]))
        return (*some, Amount(fresh(), when="first"), Amount(fresh()))[: rng.randint(2, 4)]
    if shape == 5:
        return (Amount(fresh(), standard="A"), Amount(fresh(), standard=""), Amount(fresh()))[
            : rng.randint(1, 3)
        ]
    if shape == 6 and measure == "months":
        return (Amount(share=Fraction(rng.randint(1, 3), 3)),)
    older = Amount(fresh(), age_from_months=age + 60, age_basis=basis)
    return (older, Amount(fresh(), age_from_months=age, age_basis=basis), Amount(fresh()))[
        rng.randint(0, 1) :
    ]


def a_clock(rng: random.Random, seq: int) -> Clock:
    measure = rng.choice(("months", "months", "days", "FH", "FC", "FILL", "USE"))
    counts_from = rng.choice(STARTS)
    first_from = maybe(rng, 0.6, rng.choice([word for word in STARTS if word not in NOT_FIRST]))
    runs = rng.choice(("always", *WORDS["runs"]))
    return Clock(
        seq=seq,
        counts_from=counts_from,
        measure=measure,
        amounts=_amounts(rng, measure),
        first_from=first_from,
        given_on=some_day(rng, -900, 0),
        anchor=rng.choice(WORDS["anchor"]),
        runs=runs,
        store_ratio=Fraction(rng.randint(0, 4), 4),
        store_cap_months=rng.randint(1, 14),
        store_cap_each=rng.random() < 0.5,
        before_first_fitting=rng.random() < 0.4,
        rounds=rng.choice(WORDS["rounds"]),
        month_only_stamp=rng.choice(WORDS["month_only_stamp"]),
        compares=rng.choice(WORDS["compares"]),
        never_later_on=maybe(rng, 0.15, some_day(rng, -100, 900)),
        never_later_months=maybe(rng, 0.15, rng.randint(100, 300)),
        never_later_total=maybe(rng, 0.15, rng.randint(1000, 200_000)),
        runs_out=rng.choice(WORDS["runs_out"]),
    )


def a_limit(rng: random.Random, number: int, revision: int = 1, **said: Any) -> Limit:
    variation = Variation(
        days=rng.choice((0, 0, 10, 30)),
        percent=Fraction(rng.choice((0, 0, 10)), rng.choice((1, 3))),
        days_most=maybe(rng, 0.3, 14),
        minutes=rng.choice((0, 300)),
        count=rng.choice((0, 5)),
    )
    made = Limit(
        code=f"L{number}",
        revision=str(revision),
        title="Generated",
        work="work",
        document="D",
        document_revision="1",
        clocks=tuple(a_clock(rng, seq + 1) for seq in range(rng.randint(1, 3))),
        subject=rng.choice(("unit", "unit", "unit", "unit", "aircraft")),
        when=rng.choice(("first", "first", "last")),
        variation=variation,
        next_from_original_due=rng.random() < 0.3,
        extendable=rng.random() < 0.5,
        extension_days_most=maybe(rng, 0.3, 30),
        extension_minutes_most=maybe(rng, 0.3, 300),
        extension_count_most=maybe(rng, 0.3, 10),
    )
    return replace(made, **said)


def _revisions(rng: random.Random, limit: Limit, number: int) -> tuple[tuple[date, Limit], ...]:
    days = sorted({some_day(rng, 1, 400) for _ in range(rng.choice((0, 0, 1, 2)))} - {AS_OF})
    return tuple(
        (day, a_limit(rng, number, place, subject=limit.subject))
        for place, day in enumerate((day for day in days if day > AS_OF), 2)
    )


def cases(seed: int, limits: int, units: int) -> tuple[list[Aircraft], list[Case]]:
    """So many limits, each over so many units (or aircraft) of their own."""
    rng = random.Random(seed)
    fleet = [an_aircraft(rng) for _ in range(8)]
    made = []
    for number in range(limits):
        limit = a_limit(rng, number)
        later = _revisions(rng, limit, number)
        for _ in range(units):
            is_unit = limit.subject == "unit"
            unit = a_unit(rng, fleet) if is_unit else None
            aircraft = None if is_unit else rng.choice(fleet)
            made.append(Case(limit, unit, aircraft, a_work(rng), later))
    return fleet, made


def _day(day: date | None) -> str:
    return str(day) if day else "NaT"


def _totals(told: dict[str, int]) -> list[int]:
    return [told.get(code, c.UNKNOWN) for code in CODES]


def _named(limit: Limit) -> tuple[str, str]:
    return limit.code, limit.revision


def columns_of(fleet: list[Aircraft], told: list[Case]) -> tuple[list[Limit], c.Facts, Checks]:
    """The same facts as the engine takes them."""
    limits = list({_named(case.limit): case.limit for case in told}.values())
    place = {_named(limit): index for index, limit in enumerate(limits)}
    units = [case.unit for case in told if case.unit]
    index_of = {id(unit): index for index, unit in enumerate(units)}
    flying = {id(aircraft): index for index, aircraft in enumerate(fleet)}
    facts = c.Facts(
        measures=MEASURES,
        units=_units(units, flying),
        aircraft=c.Aircraft.of(
            len(fleet),
            measures=len(CODES),
            manufactured_on=[_day(one.manufactured) for one in fleet],
            parked=[one.parked for one in fleet],
            per_day_milli=[_totals(one.planned) for one in fleet],
        ),
        items=_items(told, place, index_of, flying),
        readings=_readings(fleet),
        on_aircraft=_periods(units, flying),
        in_store=_store(units),
        statements=_statements(units),
        methods=METHODS,
        standards=STANDARDS,
        ahead=_ahead(fleet),
    )
    rows = [(flying[id(one)], *check) for one in fleet for check in one.checks]
    planned = Planned.of(
        len(rows),
        aircraft=[row[0] for row in rows],
        starts_on=[str(row[1]) for row in rows],
        ends_on=[str(row[2]) for row in rows],
        is_stop=[row[3] for row in rows],
    )
    return limits, facts, Checks(planned)


def _units(units: list[Unit], flying: dict[int, int]) -> c.Units:
    return c.Units.of(
        len(units),
        manufactured_on=[_day(one.manufactured) for one in units],
        manufactured_precision=[PRECISIONS[one.manufactured_to] for one in units],
        stated_life_months=[c.UNKNOWN if one.life is None else one.life for one in units],
        first_installed_on=[_day(one.first_installed) for one in units],
        installed_on=[_day(one.installed) for one in units],
        aircraft=[flying.get(id(one.aircraft), -1) for one in units],
        standard=[-1 if one.standard is None else STANDARDS.index(one.standard) for one in units],
        new_when_first_recorded=[one.new for one in units],
    )


def _items(
    told: list[Case],
    place: dict[tuple[str, str], int],
    index_of: dict[int, int],
    flying: dict[int, int],
) -> c.Items:
    works = [case.work for case in told]
    return c.Items.of(
        len(told),
        measures=len(CODES),
        limit=[place[_named(case.limit)] for case in told],
        unit=[index_of.get(id(case.unit), -1) for case in told],
        aircraft=[flying.get(id(case.aircraft), -1) for case in told],
        done_on=[_day(work.done) for work in works],
        done_precision=[PRECISIONS[work.done_to] for work in works],
        released_on=[_day(work.released) for work in works],
        shop_released_on=[_day(work.shop_released) for work in works],
        original_due_on=[_day(work.original_due) for work in works],
        method=[-1 if work.method is None else METHODS.index(work.method) for work in works],
        done_total=[_totals(work.totals) for work in works],
        original_due_total=[_totals(work.original_totals) for work in works],
        extension_days=[work.more_days for work in works],
        extension_minutes=[work.more_minutes for work in works],
        extension_count=[work.more_count for work in works],
    )


def _ahead(fleet: list[Aircraft]) -> c.Ahead:
    rows = [(index, *use) for index, aircraft in enumerate(fleet) for use in aircraft.ahead]
    return c.Ahead.of(
        len(rows),
        measures=len(CODES),
        aircraft=[row[0] for row in rows],
        from_on=[str(row[1]) for row in rows],
        parked=[row[2] for row in rows],
        per_day_milli=np.array([_totals(row[3]) for row in rows]).reshape(-1, len(CODES)),
    )


def _readings(fleet: list[Aircraft]) -> c.Readings:
    rows = [
        (index, measure, at.isoformat(), total)
        for index, aircraft in enumerate(fleet)
        for measure, code in enumerate(CODES)
        for at, total in aircraft.readings.get(code, [])
    ]
    names = ("aircraft", "measure", "at", "total")
    return c.Readings.of(
        len(rows), **{name: [row[n] for row in rows] for n, name in enumerate(names)}
    )


def _periods(units: list[Unit], flying: dict[int, int]) -> c.OnAircraft:
    rows = [(index, period) for index, unit in enumerate(units) for period in unit.periods]
    return c.OnAircraft.of(
        len(rows),
        measures=len(CODES),
        unit=[index for index, _ in rows],
        aircraft=[flying[id(period.aircraft)] for _, period in rows],
        from_at=[period.begun.isoformat() for _, period in rows],
        to_at=[period.ended.isoformat() if period.ended else "NaT" for _, period in rows],
        from_total=np.array([_totals(p.begun_totals) for _, p in rows]).reshape(-1, len(CODES)),
        to_total=np.array([_totals(p.ended_totals) for _, p in rows]).reshape(-1, len(CODES)),
    )


def _store(units: list[Unit]) -> c.InStore:
    rows = [(index, *stay) for index, unit in enumerate(units) for stay in unit.store]
    return c.InStore.of(
        len(rows),
        unit=[row[0] for row in rows],
        from_on=[str(row[1]) for row in rows],
        to_on=[_day(row[2]) for row in rows],
    )


def _statements(units: list[Unit]) -> c.LifeStatements:
    rows = [
        (index, measure, str(on), total)
        for index, unit in enumerate(units)
        for measure, code in enumerate(CODES)
        for on, total in unit.statements.get(code, [])
    ]
    names = ("unit", "measure", "stated_on", "total")
    return c.LifeStatements.of(
        len(rows), **{name: [row[n] for row in rows] for n, name in enumerate(names)}
    )
