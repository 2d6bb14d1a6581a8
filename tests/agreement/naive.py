"""A second reckoning, one unit and one day at a time, from the words of the limits alone; KeyError for
a word that it does not know.

Nothing here is shared with the engine but the rules' own data classes. Months by python-dateutil;
time in store, ages at due and projections by walking the days.
"""

# ruff: noqa: C901, DTZ901 (plain rules read top to bottom; wall-clock instants have no zone)
from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from fractions import Fraction
from typing import Any

from dateutil.relativedelta import relativedelta

from scheduling.engine.basis.limits import Amount, Clock, Limit

ONE = timedelta(days=1)


@dataclass
class Aircraft:
    manufactured: date | None = None
    parked: bool = False
    readings: dict[str, list[tuple[datetime, int]]] = field(default_factory=dict)
    planned: dict[str, int] = field(default_factory=dict)
    checks: list[tuple[date, date, bool]] = field(default_factory=list)  # the last: a mere stop
    #: From a later day on: parked or not, and the planner's figures.
    ahead: list[tuple[date, bool, dict[str, int]]] = field(default_factory=list)

    def use_on(self, day: date) -> tuple[bool, dict[str, int]]:
        """Whether it is parked on a day, as is known today, and the planner's figures then."""
        use = (self.parked, self.planned)
        for from_on, parked, planned in self.ahead:
            if from_on <= day:
                use = (parked, planned)
        return use


@dataclass
class Period:
    aircraft: Aircraft
    begun: datetime
    ended: datetime | None = None
    begun_totals: dict[str, int] = field(default_factory=dict)
    ended_totals: dict[str, int] = field(default_factory=dict)


@dataclass
class Unit:
    manufactured: date | None = None
    manufactured_to: str = "day"
    life: int | None = None
    first_installed: date | None = None
    installed: date | None = None
    aircraft: Aircraft | None = None
    standard: str | None = None
    new: bool = False
    periods: list[Period] = field(default_factory=list)
    store: list[tuple[date, date | None]] = field(default_factory=list)
    statements: dict[str, list[tuple[date, int]]] = field(default_factory=dict)


@dataclass
class Work:
    done: date | None = None
    done_to: str = "day"
    released: date | None = None
    shop_released: date | None = None
    original_due: date | None = None
    method: str | None = None
    totals: dict[str, int] = field(default_factory=dict)
    original_totals: dict[str, int] = field(default_factory=dict)
    more_days: int = 0
    more_minutes: int = 0
    more_count: int = 0


@dataclass
class Told:
    """What one clock says."""

    clock: Clock
    runs: bool = True
    missing: set[str] = field(default_factory=set)
    start: date | None = None
    due_on: date | None = None
    worst_on: date | None = None
    due_at: int | None = None
    total: int | None = None
    past: bool = False
    within: bool = False
    projected: bool = False


OF_UNIT = {"FILL", "USE"}
HOURS = {"FH", "USE"}


def end_of_day(day: date) -> datetime:
    return datetime.combine(day + ONE, time())


def stands_for(day: date | None, known_to: str, stamp: str) -> date | None:
    if day is None or known_to == "day":
        return day
    if known_to == "year":
        return date(day.year, 1, 1)
    first = day.replace(day=1)
    return {"start": first, "end": first + relativedelta(months=1) - ONE}[stamp]


def age_in_months(born: date, on: date) -> int:
    gap = relativedelta(on, born)
    return gap.years * 12 + gap.months


def aircraft_total(aircraft: Aircraft, measure: str, at: datetime) -> int | None:
    readings = aircraft.readings.get(measure, [])
    index = bisect_right([when for when, _ in readings], at) - 1
    if index < 0:
        return None
    when, total = readings[index]
    if index + 1 == len(readings):
        return total
    later, more = readings[index + 1]
    gone, gap = (at - when) // timedelta(seconds=1), (later - when) // timedelta(seconds=1)
    return total + (more - total) * gone // gap


def flown(unit: Unit, measure: str, start: datetime, end: datetime) -> int | None:
    """Flown between two instants, period by period; None where a reading is missing for it."""
    total = 0
    for period in unit.periods:
        if period.begun > end or (period.ended or datetime.max) <= start:
            continue
        first = total_in(period, measure, max(period.begun, start))
        last = total_in(period, measure, min(period.ended or datetime.max, end))
        if first is None or last is None:
            return None
        total += max(last - first, 0)
    return total


def total_in(period: Period, measure: str, at: datetime) -> int | None:
    """The aircraft's total at an instant of a period: totals read at the movements hold it."""
    if at == period.begun and measure in period.begun_totals:
        return period.begun_totals[measure]
    if at == period.ended and measure in period.ended_totals:
        return period.ended_totals[measure]
    found = aircraft_total(period.aircraft, measure, at)
    if found is None:
        return None
    return min(
        max(found, period.begun_totals.get(measure, found)),
        period.ended_totals.get(measure, max(found, period.begun_totals.get(measure, found))),
    )


class Reckoning:
    """One unit (or aircraft) under one limit as of one day."""

    def __init__(
        self, limit: Limit, unit: Unit | None, aircraft: Aircraft | None, work: Work, as_of: date
    ) -> None:
        self.limit, self.unit, self.work, self.as_of = limit, unit, work, as_of
        self.aircraft = unit.aircraft if unit else aircraft
        self.never = work.done is None

    # The start

    def born(self, clock: Clock) -> date | None:
        if self.unit:
            known_to = self.unit.manufactured_to
            return stands_for(self.unit.manufactured, known_to, clock.month_only_stamp)
        return self.aircraft.manufactured if self.aircraft else None

    def start(self, clock: Clock, told: Told) -> date | None:
        """The day counted from; with what is missing, the earliest it can have been."""
        born = self.born(clock)
        kind: str | None = clock.counts_from
        if kind == "last_done" and self.never:
            kind = clock.first_from
            if kind is None:
                told.missing.add("LAST_DONE")
                return born
        if kind == "last_done":
            dated = {
                "release": self.work.released,
                "shop_release": self.work.shop_released,
                "original_due": self.work.released,
            }[clock.anchor]
            return dated or stands_for(self.work.done, self.work.done_to, clock.month_only_stamp)
        if kind == "given_date":
            done = self.work.done
            if (
                clock.counts_from == "given_date"
                and done
                and clock.given_on
                and done >= clock.given_on
            ):
                told.runs = False
            return clock.given_on
        if kind == "manufacture" or self.unit is None:
            if born is None:
                told.missing.add("MANUFACTURED")
            return born
        first = self.unit.first_installed
        found = {"first_installation": first, "this_installation": self.unit.installed}[kind]
        if found is None and self.unit.aircraft is None:
            told.runs = False
        elif found is None:
            told.missing.add("FIRST_INSTALLED" if kind == "first_installation" else "INSTALLED")
            return born if kind == "first_installation" else first or born
        return found

    # The amount

    def amount(self, clock: Clock, start: date | None, age_at_due: int | None, told: Told) -> Any:
        """The amount, or the least of those that could hold where a fact is missing (None: none)."""
        turns = [one for one in clock.amounts if one.when in ("any", self._turn())]
        if not turns:
            told.runs = False
            return None
        could: list[int | None] = []
        for one in turns:
            holds, lacks = self._holds(one, clock, start, age_at_due)
            if not holds:
                continue
            could.append(self._worth(one, told))
            told.missing |= lacks
            if not lacks:
                break
        else:
            if not could:
                told.missing.add("AMOUNT")
        known = [value for value in could if value is not None]
        return min(known) if known else None

    def _turn(self) -> str:
        return "first" if self.never else "repeat"

    def _worth(self, one: Amount, told: Told) -> int | None:
        if one.share is None:
            return one.value
        if self.unit is None or self.unit.life is None:
            told.missing.add("STATED_LIFE")
            return None
        return int(self.unit.life * one.share // 1)

    def _holds(
        self, one: Amount, clock: Clock, start: date | None, age_at_due: int | None
    ) -> tuple[bool, set[str]]:
        lacks: set[str] = set()
        born = self.born(clock)
        if one.age_from_months is not None and one.age_basis == "at_due":
            if age_at_due is not None and age_at_due < one.age_from_months:
                return False, lacks
        elif one.age_from_months is not None:
            if born is None or start is None:
                lacks.add("MANUFACTURED")
            elif age_in_months(born, start) < one.age_from_months:
                return False, lacks
        if one.method is not None:
            if self.never or self.work.method not in (None, one.method):
                return False, set()
            if self.work.method is None:
                lacks.add("METHOD")
        if one.standard is not None:
            standard = self.unit.standard if self.unit else None
            if standard not in (None, one.standard):
                return False, set()
            if standard is None:
                lacks.add("STANDARD")
        return True, lacks

    # Months and days

    def calendar(self, clock: Clock) -> Told:
        told = Told(clock)
        start = self.start(clock, told)
        start = self._original(clock, start)
        told.start = start
        counted = start + self._excluded(clock, start) if start else None
        reached = self._reached(clock, start, counted, told)
        last = self._last_good(clock, reached)
        self._tolerate(clock, told, counted, reached, last)
        return told

    def _plus(self, clock: Clock, day: date, value: int) -> date:
        if clock.measure == "months":
            return day + relativedelta(months=value)
        return day + timedelta(days=value)

    def _reached(
        self, clock: Clock, start: date | None, counted: date | None, told: Told
    ) -> date | None:
        born = self.born(clock)
        by_due = [
            one.age_from_months
            for one in clock.amounts
            if one.age_basis == "at_due" and one.age_from_months
        ]
        # The age when it was last done goes by the work, whatever start is shifted to.
        started = self._worked(clock, start)
        if not by_due:
            value = self.amount(clock, started, 0, told)
            return self._plus(clock, counted, value) if counted and value is not None else None
        if born is None:
            told.missing.add("MANUFACTURED")
            ends = []
            for age in {0, *by_due}:
                value = self.amount(clock, started, age, told)
                if counted and value is not None:
                    ends.append(self._plus(clock, counted, value))
            return min(ends) if ends else None
        if counted is None:
            self.amount(clock, started, 0, told)
            return None
        return self._walk(clock, started, counted, born, told)

    def _walk(
        self, clock: Clock, started: date | None, counted: date, born: date, told: Told
    ) -> date | None:
        """The first day on which as much time has gone by as its own age allows."""
        day, ends = counted, {}
        while True:
            age = age_in_months(born, day)
            step = max(
                [
                    one.age_from_months or 0
                    for one in clock.amounts
                    if one.age_basis == "at_due" and (one.age_from_months or 0) <= age
                ],
                default=0,
            )
            if step not in ends:
                fresh = Told(clock)
                value = self.amount(clock, started, step, fresh)
                ends[step] = (None if value is None else self._plus(clock, counted, value), fresh)
            end, fresh = ends[step]
            if end is not None and day >= end:
                told.missing |= fresh.missing
                told.runs &= fresh.runs
                return day
            if day > counted + timedelta(days=40000) or not fresh.runs:
                told.missing |= fresh.missing
                told.runs &= fresh.runs
                return None
            day += ONE

    def _worked(self, clock: Clock, start: date | None) -> date | None:
        return self.start(clock, Told(clock)) if start else None

    def _last_good(self, clock: Clock, reached: date | None) -> date | None:
        if reached is None:
            return None
        rounded = {
            "day": reached,
            "month_end": reached.replace(day=1) + relativedelta(months=1) - ONE,
        }[clock.rounds]
        return rounded - {"after": 0, "at": 1}[clock.compares] * ONE

    def _variation(self, clock: Clock, days: int) -> int:
        variation = self.limit.variation
        if clock.runs_out == "end_of_life":
            return 0
        if not variation.percent:
            return variation.days
        share = int(days * variation.percent / 100)
        if variation.days_most is not None:
            share = min(share, variation.days_most)
        return min(share, variation.days) if variation.days else share

    def _original(self, clock: Clock, start: date | None) -> date | None:
        original = self.work.original_due
        wanted = self.limit.next_from_original_due or clock.anchor == "original_due"
        if clock.counts_from != "last_done" or not wanted or self.never:
            return start
        if original is None or start is None:
            return start
        value = self.amount(clock, start, 0, Told(clock))
        if value is None:
            return start
        before = self._plus(clock, original, -value)
        most = self._variation(clock, (original - before).days)
        return original if abs((start - original).days) <= most else start

    def _excluded(self, clock: Clock, start: date) -> timedelta:
        if clock.runs == "always" or self.unit is None:
            return timedelta(0)
        if clock.runs == "installed_only":
            return timedelta(days=self._days_off(start))
        days = [d for d in self._days(start) if self._in_store(d)]
        if clock.runs == "store_at_ratio":
            return timedelta(days=int(len(days) * (1 - clock.store_ratio)))
        if clock.runs == "store_up_to_cap":
            return timedelta(days=self._capped_store(clock, start))
        raise KeyError(clock.runs)

    def _days(self, start: date) -> list[date]:
        return [start + timedelta(days=n) for n in range(max((self.as_of - start).days, 0))]

    def _in_store(self, day: date) -> bool:
        return any(begun <= day < (ended or date.max) for begun, ended in self.unit.store)

    def _days_off(self, start: date) -> int:
        first = [begun for begun, _ in self.unit.store]
        first += [period.begun.date() for period in self.unit.periods]
        if not first:
            return 0
        off = 0
        for day in self._days(start):
            on = any(
                period.begun.date() <= day < (period.ended.date() if period.ended else date.max)
                for period in self.unit.periods
            )
            off += day >= min(first) and not on
        return off

    def _capped_store(self, clock: Clock, start: date) -> int:
        fitted = [p.begun.date() for p in self.unit.periods if p.begun.date() >= start]
        credited, allowance = 0, None
        for arrived, ended in self.unit.store:
            begun = max(arrived, start)
            days = [d for d in self._days(begun) if d < (ended or date.max)]
            if not days and not (begun == self.as_of and (ended is None or ended > self.as_of)):
                continue
            if clock.before_first_fitting and fitted and begun >= min(fitted):
                continue
            until = begun + relativedelta(months=clock.store_cap_months)
            if clock.store_cap_each:
                credited += sum(d < until for d in days)
                continue
            if allowance is None:
                allowance = (until - begun).days
            credited += len(days)
        return credited if allowance is None else min(credited, allowance)

    def _tolerate(
        self,
        clock: Clock,
        told: Told,
        counted: date | None,
        reached: date | None,
        last: date | None,
    ) -> None:
        due, until = last, last
        lives_on = clock.runs_out != "end_of_life"
        if due and self.limit.extendable and lives_on:
            most = self.limit.extension_days_most
            more = self.work.more_days if most is None else min(self.work.more_days, most)
            due = last + timedelta(days=more)
        if due:
            tolerance = self._variation(clock, (reached - counted).days)
            until = max(due, last + timedelta(days=tolerance))
        backstop = self._backstop(clock, told)
        if backstop:
            due = min(due or backstop, backstop)
            until = min(until or backstop, backstop)
        if told.missing:
            told.worst_on = due
            return
        told.due_on = due
        told.past = due is not None and self.as_of > due
        told.within = told.past and until is not None and self.as_of <= until

    def _backstop(self, clock: Clock, told: Told) -> date | None:
        days = [clock.never_later_on] if clock.never_later_on else []
        if clock.never_later_months is not None:
            born = self.born(clock)
            if born is None:
                told.missing.add("MANUFACTURED")
            else:
                reached = born + relativedelta(months=clock.never_later_months)
                days.append(self._last_good(clock, reached))
        return min(days) if days else None

    # Hours, cycles, counts

    def total(self, measure: str, at: datetime) -> tuple[int | None, set[str], bool]:
        """Total, what is missing for it, and whether nothing bears a total at all."""
        if self.unit is None:
            found = aircraft_total(self.aircraft, measure, at) if self.aircraft else None
            return found, set() if found is not None else {"READING"}, False
        stated = [(end_of_day(on), total) for on, total in self.unit.statements.get(measure, [])]
        before = [one for one in stated if one[0] <= at]
        if measure in OF_UNIT:
            if before:
                return before[-1][1], set(), False
            if self.unit.new:
                return 0, set(), False
            return None, {"TOTAL_AT_START" if stated else "LIFE_STATEMENT"}, False
        recorded = any(period.begun <= at for period in self.unit.periods)
        if before:
            since, base = before[-1]
            more = flown(self.unit, measure, since, at)
            return (base + more, set(), False) if more is not None else (None, {"READING"}, False)
        if stated and (recorded or self.unit.new):
            later, base = stated[0]
            less = flown(self.unit, measure, at, later)
            return (base - less, set(), False) if less is not None else (None, {"READING"}, False)
        if stated:
            return None, {"TOTAL_AT_START"}, False
        if self.unit.new:
            more = flown(self.unit, measure, datetime.min, at)
            return (more, set(), False) if more is not None else (None, {"READING"}, False)
        return None, set(), True

    def _instant(self, start: date) -> datetime:
        """The end of the day, or the fitting on that day."""
        fitted = (
            [p.begun for p in self.unit.periods if p.begun.date() == start] if self.unit else []
        )
        return max(fitted) if fitted else end_of_day(start)

    def hours(self, clock: Clock) -> Told:
        told = Told(clock)
        start = self.start(clock, told)
        told.start = start
        if self._from_new(clock):
            told.missing.discard("MANUFACTURED")
        startless = set(told.missing)
        value = self._amount_now(clock, start, told)
        begun, total, lacks, apart = self._totals(clock, start)
        if not startless:
            told.missing |= lacks
        begun = self._original_total(clock, begun, value, apart)
        self._compare(clock, told, begun, total, value, apart)
        return told

    def _amount_now(self, clock: Clock, start: date | None, told: Told) -> int | None:
        by_due = any(one.age_basis == "at_due" and one.age_from_months for one in clock.amounts)
        if not by_due:
            return self.amount(clock, start, 0, told)
        born = self.born(clock)
        value = self.amount(clock, start, age_in_months(born, self.as_of) if born else None, told)
        if born is None and told.runs:
            told.missing.add("MANUFACTURED")
        return value

    def _totals(
        self, clock: Clock, start: date | None
    ) -> tuple[int | None, int | None, set[str], bool]:
        measure = clock.measure
        now, lacks, unborne = self.total(measure, end_of_day(self.as_of))
        by_work = clock.counts_from == "last_done" and not self.never
        recorded = self.work.totals.get(measure) if by_work else None
        from_new = self._from_new(clock)
        at = self._instant(start) if start else None
        if unborne and from_new and recorded is None:
            return 0, None, {"LIFE_STATEMENT"}, False
        if unborne:
            return self._since(measure, at, recorded)
        if recorded is not None:
            return recorded, now, lacks, False
        if from_new:
            return 0, now, lacks, False
        # Of a start that nobody knows the worst is that it was as early as can be.
        begun, more, _ = self.total(measure, datetime.min if at is None else at)
        if self.unit is None:
            return begun, now, lacks or ({"TOTAL_AT_START"} if more else set()), False
        return begun, now, lacks | more, False

    def _from_new(self, clock: Clock) -> bool:
        """Whether the total at the start is nought: new then, or at worst; an aircraft is fitted nowhere
        and begins with its manufacture."""
        kind: str | None = clock.counts_from
        if kind == "last_done":
            if not self.never:
                return False
            kind = clock.first_from
        return kind in (None, "manufacture") or (self.unit is None and kind != "given_date")

    def _since(
        self, measure: str, at: datetime | None, recorded: int | None
    ) -> tuple[int | None, int | None, set[str], bool]:
        """No statement bears a total: what was flown since the start."""
        covered = at is not None and any(period.begun <= at for period in self.unit.periods)
        if not covered and recorded is None:
            return None, None, {"TOTAL_AT_START"}, True
        gone = flown(self.unit, measure, at, end_of_day(self.as_of))
        begun = recorded or 0
        if gone is None:
            return begun, None, {"READING"}, recorded is None
        return begun, begun + gone, set(), recorded is None

    def _original_total(
        self, clock: Clock, begun: int | None, value: int | None, apart: bool
    ) -> int | None:
        original = self.work.original_totals.get(clock.measure)
        wanted = clock.counts_from == "last_done" and (
            self.limit.next_from_original_due or clock.anchor == "original_due"
        )
        if not wanted or self.never or apart or None in (original, begun, value):
            return begun
        return original if abs(begun - original) <= self._tolerance(clock, value) else begun

    def _tolerance(self, clock: Clock, value: int) -> int:
        variation = self.limit.variation
        if clock.runs_out == "end_of_life":
            return 0
        number = variation.minutes if clock.measure in HOURS else variation.count
        if not variation.percent:
            return number
        share = int(value * variation.percent / 100)
        return min(share, number) if number else share

    def _compare(
        self,
        clock: Clock,
        told: Told,
        begun: int | None,
        total: int | None,
        value: int | None,
        apart: bool,
    ) -> None:
        due_at = until = None
        if begun is not None and value is not None:
            more = 0
            if self.limit.extendable and clock.runs_out != "end_of_life":
                is_hours = clock.measure in HOURS
                more = self.work.more_minutes if is_hours else self.work.more_count
                most = (
                    self.limit.extension_minutes_most
                    if is_hours
                    else self.limit.extension_count_most
                )
                more = more if most is None else min(more, most)
            due_at = begun + value + more
            until = max(due_at, begun + value + self._tolerance(clock, value))
            if clock.never_later_total is not None and not apart:
                due_at = min(due_at, clock.never_later_total)
            if clock.never_later_total is not None:
                until = min(until, clock.never_later_total)
        if clock.never_later_total is not None and apart:
            told.missing.add("LIFE_STATEMENT")
        due_on = past = within = None
        if due_at is not None and total is not None:
            past = total >= due_at if clock.compares == "at" else total > due_at
            within = past and (total < until if clock.compares == "at" else total <= until)
            left = due_at - total - (clock.compares == "at")
            due_on = self._projected(clock, left)
            told.projected = due_on is not None
            if due_on is not None:
                due_on = min(due_on, self.as_of - ONE) if past else max(due_on, self.as_of)
        backstop = self._backstop(clock, told)
        is_gone = bool(past) and due_on is None and backstop and backstop >= self.as_of
        if backstop and not is_gone and (due_on is None or backstop < due_on):
            due_on, told.projected = backstop, False
        if backstop and backstop < self.as_of:
            past, within = True, False
        if told.missing:
            told.worst_on, told.projected = due_on, False
            return
        told.due_on, told.due_at, told.total = due_on, due_at, total
        told.past, told.within = bool(past), bool(within)

    def _projected(self, clock: Clock, left: int) -> date | None:
        """Walk the days from the last total until the next day would be too many."""
        aircraft, measure = self.aircraft, clock.measure
        if measure in OF_UNIT or aircraft is None:
            return None
        readings = aircraft.readings.get(measure, [])
        now = end_of_day(self.as_of)
        base = min(readings[-1][0], now) if readings else now
        trailing = self._trailing(aircraft, measure, base)
        day = (base - timedelta(seconds=1)).date()
        if self.unit and self.unit.installed:
            day = max(day, self.unit.installed)
        if left < 0:
            return self._back(day, left, self._rate(max(day, self.as_of), measure, trailing))
        changes = {from_on for from_on, _, _ in aircraft.ahead}
        begun, rest, number = Fraction(left), Fraction(left), 0
        last = max(changes, default=self.as_of)
        for gone in range(36525):
            next_day = day + timedelta(days=gone + 1)
            if next_day in changes:
                # Carried on in thousandths of the measure, rounded down.
                begun, number = Fraction(int(rest * 1000 // 1), 1000), 0
            rate = self._rate(max(next_day, self.as_of), measure, trailing)
            number += 1
            if number * rate > begun:
                return day + timedelta(days=gone)
            if not rate and next_day >= last:
                return None
            rest = begun - number * rate
        return None

    def _trailing(self, aircraft: Aircraft, measure: str, base: datetime) -> Fraction:
        readings = aircraft.readings.get(measure, [])
        if not readings or base <= readings[0][0]:
            return Fraction(0)
        since = max(base - timedelta(days=90), readings[0][0])
        gain = aircraft_total(aircraft, measure, base) - aircraft_total(aircraft, measure, since)
        return max(Fraction(gain * 86400, int((base - since).total_seconds())), Fraction(0))

    def _rate(self, day: date, measure: str, trailing: Fraction) -> Fraction:
        """What is flown on a day, as is known today."""
        parked, planned = self.aircraft.use_on(day)
        if parked:
            return Fraction(0)
        return Fraction(planned[measure], 1000) if measure in planned else trailing

    def _back(self, day: date, left: int, rate: Fraction) -> date | None:
        number = 0
        while rate and number * rate > left:
            number -= 1
            if number <= -36525:
                return None
        return day + timedelta(days=number) if rate else None

    # All clocks together

    def told(self) -> list[Told]:
        return [
            self.calendar(clock) if clock.measure in ("months", "days") else self.hours(clock)
            for clock in self.limit.clocks
        ]

    def answer(self) -> dict[str, Any]:
        clocks = [one for one in self.told() if one.runs]
        if not clocks:
            return {"state": "QUIET", "missing": set(), "past": False}
        missing = set().union(*(one.missing for one in clocks))
        known = [one for one in clocks if not one.missing]
        if self.limit.when == "last":
            past = not missing and all(one.past for one in clocks)
        else:
            past = any(one.past for one in known)
        if missing and not past:
            days = [one.worst_on or one.due_on for one in clocks]
            days = [day for day in days if day]
            pick = max if self.limit.when == "last" else min
            worst = pick(days) if days else None
            return {"state": "NO_BASIS", "missing": missing, "worst_on": worst, "past": False}
        winner = self._winner(known)
        return {
            "state": "RECKONED",
            "missing": missing,
            "past": past,
            "due_on": winner.due_on,
            "decided_by": winner.clock.seq,
            "start_on": winner.start,
            "due_at": {one.clock.seq: one.due_at for one in known},
            "projected": winner.projected,
            "within": winner.within,
        }

    def _winner(self, known: list[Told]) -> Told:
        def when(one: Told) -> date:
            if one.due_on:
                return one.due_on
            return self.as_of - ONE if one.past else date.max

        is_last = self.limit.when == "last"
        winner = (max if is_last else min)(known, key=when)
        if when(winner) < date.max:
            return winner
        # None of them has a date: among those that count the same, what is left tells.
        alike = [
            one
            for one in known
            if when(one) == date.max and one.clock.measure == winner.clock.measure
        ]
        return (max if is_last else min)(
            alike, key=lambda one: (one.due_at or 0) - (one.total or 0)
        )


def band(reckoning: Reckoning, answer: dict[str, Any]) -> str:
    """The band by walking the aircraft's checks."""
    if answer["past"]:
        return "OVERDUE"
    if answer["state"] != "RECKONED":
        return answer["state"]
    aircraft = reckoning.aircraft
    if aircraft is None:
        return "IN_STORE"
    due_on = answer["due_on"]
    if aircraft.use_on(due_on + ONE if due_on else date.max)[0]:
        return "BEFORE_RETURN"
    to_come = [check for check in aircraft.checks if check[1] >= reckoning.as_of]
    is_soon = due_on is not None and (due_on - reckoning.as_of).days <= 30
    if due_on is None or (not is_soon and all(begins <= due_on for begins, _, _ in to_come)):
        return "BEYOND_PLAN"
    reached = [begins for begins, _, _ in to_come if begins <= due_on]
    if not reached:
        return "OUT_OF_PHASE"
    whole = [begins for begins, _, is_stop in to_come if not is_stop]
    return "NEXT_CHECK" if reached[-1] <= (whole or reached)[0] else "LATER_CHECK"


def with_later(answers: list[tuple[date | None, dict[str, Any]]], as_of: date) -> dict[str, Any]:
    """One answer of rules that follow each other, each with the day from which it is in force, by
    walking the days: the rule in force on a day decides once the item would be past on it."""
    asking = [one for one in answers if one[1]["state"] != "QUIET"]
    if not asking:
        return answers[-1][1]
    last = max((day for day, _ in answers if day), default=as_of) + ONE
    for on in (as_of + timedelta(days=n) for n in range((last - as_of).days + 1)):
        from_on, answer = [one for one in answers if one[0] is None or one[0] <= on][-1]
        if answer["state"] == "QUIET":
            continue
        worst = answer.get("worst_on") if answer["state"] == "NO_BASIS" else answer["due_on"]
        if answer["past"] or (worst or (on if answer["state"] == "RECKONED" else date.min)) < on:
            return _seen_from(from_on, answer)
    return _seen_from(*asking[-1])


def _seen_from(from_on: date | None, answer: dict[str, Any]) -> dict[str, Any]:
    """What a rule to come says today: nothing is past yet, and nothing ends before it begins."""
    if from_on is None or answer["state"] == "QUIET":
        return answer
    eve, told = from_on - ONE, dict(answer)
    if answer["state"] == "NO_BASIS":
        return told | {"worst_on": max(told["worst_on"], eve) if told["worst_on"] else None}
    due_on = told["due_on"]
    if due_on is not None:
        told["due_on"] = max(due_on, eve)
    if told["past"]:
        told["due_on"] = eve
    told["projected"] = told["projected"] and not told["past"] and due_on >= eve
    return told | {"past": False, "within": False}
