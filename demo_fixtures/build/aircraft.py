"""The invented fleet: aircraft, three years of use day by day, checks behind and ahead."""

from __future__ import annotations

import random
from dataclasses import dataclass, field
from datetime import date, timedelta

from .layouts import NARROW, WIDE
from .programme import from_reference

READINGS_FROM = -1096
READ_UNTIL = -1


@dataclass(frozen=True, slots=True)
class GroundTime:
    """A check or an overnight stop, from the reference day."""

    name: str
    sort: str
    start: int
    end: int
    station: str
    abilities: tuple[str, ...] = ()


@dataclass(slots=True)
class Aircraft:
    """One aircraft. ``totals`` holds minutes and cycles at the end of each day from READINGS_FROM."""

    registration: str
    msn: str
    type_code: str
    station: str
    delivered: int
    minutes_a_day: int
    cycles_a_day: float
    status: str = "in_service"
    parked_from: int | None = None
    from_on: int = 0
    programme: str = "VAR-MP"
    ground: list[GroundTime] = field(default_factory=list)
    totals: list[tuple[int, int]] = field(default_factory=list)

    @property
    def readings_from(self) -> int:
        return max(READINGS_FROM, self.from_on - 3)

    def total_at(self, day: int) -> tuple[int, int]:
        """Minutes and cycles at the end of a day counted from the reference day."""
        return self.totals[max(0, min(day - self.readings_from, len(self.totals) - 1))]

    @property
    def checks_ahead(self) -> list[int]:
        return sorted(g.start for g in self.ground if g.sort == "check" and g.start > 0)

    def is_in_check(self, day: int) -> bool:
        return any(g.sort == "check" and g.start <= day <= g.end for g in self.ground)


# registration, MSN, type, station, age in months, minutes and cycles a day
FLEET = [
    ("Q7-VAA", "1042", NARROW, "QVMR", 188, 520, 5.1),
    ("Q7-VAB", "1047", NARROW, "QVMR", 185, 535, 5.3),
    ("Q7-VAC", "1061", NARROW, "QTLH", 170, 560, 5.0),
    ("Q7-VAD", "1078", NARROW, "QVMR", 149, 575, 5.6),
    ("Q7-VAE", "1083", NARROW, "QVMR", 141, 590, 5.4),
    ("Q7-VAF", "1105", NARROW, "QNRB", 112, 600, 5.2),
    ("Q7-VAG", "1119", NARROW, "QVMR", 98, 610, 5.7),
    ("Q7-VAH", "1120", NARROW, "QVMR", 97, 540, 5.0),
    ("Q7-VAJ", "1164", NARROW, "QTLH", 46, 640, 5.8),
    ("Q7-VAK", "1177", NARROW, "QVMR", 22, 650, 5.9),
    ("Q7-VBA", "4007", WIDE, "QVMR", 152, 760, 1.6),
    ("Q7-VBB", "4009", WIDE, "QVMR", 148, 775, 1.7),
    ("Q7-VBC", "4016", WIDE, "QESP", 120, 790, 1.6),
    ("Q7-VBD", "4022", WIDE, "QVMR", 93, 800, 1.7),
    ("Q7-VBE", "4031", WIDE, "QESP", 54, 815, 1.8),
    ("Q7-VBF", "4013", WIDE, "QVMR", 133, 770, 1.6),
]
PARKED, IN_CHECK, LEASED_IN = "Q7-VAH", "Q7-VBD", "Q7-VBF"
LEASED_FROM = -190
PARKED_FROM = -140


def fleet(rng: random.Random) -> list[Aircraft]:
    """The whole fleet with its use and its ground times."""
    made = []
    for index, (registration, msn, type_code, station, age, minutes, cycles) in enumerate(FLEET):
        delivered = -int(age * 30.44) - index % 9
        craft = Aircraft(
            registration, msn, type_code, station, delivered, minutes, cycles, from_on=delivered
        )
        if registration == PARKED:
            craft.status, craft.parked_from = "parked", PARKED_FROM
        if registration == LEASED_IN:
            craft.from_on, craft.programme = LEASED_FROM, "ILM-MP44"
        if registration == IN_CHECK:
            craft.status = "in_check"
        craft.ground = _ground_times(craft, index, rng)
        craft.totals = _use(craft, rng)
        made.append(craft)
    return made


def _ground_times(craft: Aircraft, index: int, rng: random.Random) -> list[GroundTime]:
    """A checks about every ten weeks, a C check about every twenty months, nights at outstations."""
    if craft.registration == PARKED:
        return []
    first = 6 + (index * 11) % 61
    pace = 72 if craft.type_code == NARROW else 78
    base = "QESP" if craft.station == "QESP" else "QVMR"
    heavy = 2 if index % 3 == 0 else -2 if index % 3 == 1 else 9
    found = []
    for step in range(-3, 6):
        start = first + step * pace + rng.randint(-3, 3)
        if craft.registration == IN_CHECK and step == -1:
            found.append(GroundTime("C05", "check", -4, 7, base))
            continue
        is_heavy = step == heavy
        name = f"C{3 + index % 4:02d}" if is_heavy else f"A{20 + index % 7 + step:02d}"
        found.append(GroundTime(name, "check", start, start + (11 if is_heavy else 1), base))
    return [g for g in found if -260 <= g.start <= 372] + list(_nights(craft, index))


def _nights(craft: Aircraft, index: int) -> list[GroundTime]:
    """Two nights with hours enough for small work, for some of the fleet."""
    if index % 2:
        return []
    station = "QTLH" if craft.type_code == NARROW else "QESP"
    works = ("EXCHANGE", "WEIGH") if station == "QTLH" else ("EXCHANGE", "WEIGH", "INSPECT")
    return [
        GroundTime("NIGHT", "overnight", day, day + 1, station, works)
        for day in (3 + index, 27 + index)
    ]


def _use(craft: Aircraft, rng: random.Random) -> list[tuple[int, int]]:
    """Totals at the end of each day. What was flown before the readings is in the first of them."""
    flown_before = max(0, craft.readings_from - craft.delivered)
    minutes = int(flown_before * craft.minutes_a_day * 0.93)
    cycles = int(flown_before * craft.cycles_a_day * 0.93)
    totals = []
    for day in range(craft.readings_from, READ_UNTIL + 1):
        if day > craft.readings_from and _flies(craft, day):
            minutes += int(craft.minutes_a_day * rng.uniform(0.78, 1.2))
            cycles += max(1, round(craft.cycles_a_day * rng.uniform(0.75, 1.25)))
        totals.append((minutes, cycles))
    return totals


def _flies(craft: Aircraft, day: int) -> bool:
    if craft.parked_from is not None and day >= craft.parked_from:
        return False
    return not craft.is_in_check(day)


def reading_days(craft: Aircraft) -> list[int]:
    """Each Sunday of three years, then each day of the last four weeks."""
    return [
        day
        for day in range(craft.readings_from, READ_UNTIL + 1)
        if day == craft.readings_from or day >= -28 or from_reference(day).weekday() == 6
    ]


def earlier(day: date, days: int) -> date:
    """So many days before."""
    return day - timedelta(days=days)
