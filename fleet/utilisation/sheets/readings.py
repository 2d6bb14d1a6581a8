"""Readings of aircraft totals."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from fleet.house import pace
from fleet.intake.columns import CODE, COUNT, HOURS, INSTANT, TOTAL, YES_NO
from fleet.intake.problems import CellProblem
from fleet.intake.registry import NAMED_AIRCRAFT, Column, SheetKind
from fleet.intake.said import column_of
from fleet.loading import lookups
from fleet.loading.batch import Batch
from fleet.loading.totals import in_utc, total_in_measure
from fleet.models import Measure, UtilisationReading
from fleet.utilisation.acts.readings import NewReading, judged, record_readings
from fleet.words.said import hours_words


@dataclass(frozen=True, slots=True)
class Said:
    """One total that a line gives: which measure, and in which column it stands."""

    line: int
    measure_id: int
    total: int
    field: str


def bring_readings(batch: Batch) -> None:
    """Each line gives hours, cycles or another measure's total; a correction replaces what stands."""
    aircraft = lookups.aircraft(batch)
    zones = lookups.zones_of_aircraft(batch)
    said = _totals(batch)
    bases: dict[int, NewReading] = {}
    for line in batch.good:
        stamp, craft = batch["read_on"][line], aircraft[line]
        if stamp.precision in {"month", "year"}:
            batch.refuse(
                line, "read_on", "day_missing", "A reading needs its day. Write it as 2026-11-25."
            )
        elif craft is not None:
            at = in_utc(stamp, zones[craft], end=True)
            source = batch["source"][line] or ""
            bases[line] = NewReading(craft, 0, at, 0, batch.bringing.key, stamp.at is None, source)
    pace.reached(0.2, "comparing with what is on record")
    standing = _standing(bases)
    rows: dict[int, list[NewReading]] = {}
    for each in said:
        if batch.is_good(each.line):
            _one_total(batch, each, standing, rows, bases[each.line])
    _ask(batch, rows)
    good = [line for line in batch.good if line in rows]
    batch.know(line for line in batch.good if line not in rows)
    good.sort(key=lambda line: bases[line].read_at)
    if good:
        made = [row for line in good for row in rows[line]]
        with pace.part(0.3, 1):
            record_readings(by=batch.bringing.by, rows=made, now=batch.bringing.at)
    batch.touch()


def _ask(batch: Batch, rows: Mapping[int, list[NewReading]]) -> None:
    """This will question totals far beyond the usual use, and say which will be counted by nobody."""
    lines = sorted(rows, key=lambda line: rows[line][0].read_at)
    said = [(line, row) for line in lines for row in rows[line]]
    codes = {key: code for code, key in lookups.measures_by_code(batch).items()}
    fields = {Measure.FLIGHT_HOURS: "hours", Measure.FLIGHT_CYCLES: "cycles"}
    for (line, row), found in zip(said, judged([row for _, row in said]), strict=True):
        code = codes.get(row.measure_id, "")
        field = fields.get(code, "total")
        if batch[field][line] is None:
            field = "total"
        if found.question:
            words = f"{found.question} To confirm it, write yes under 'Confirmed'."
            batch.refuse(line, field, "total_questioned", words)
        elif found.backwards:
            words = f"{' '.join(found.backwards)} It is kept, and counted by nobody until one of them is corrected."
            batch.warn(line, field, "total_runs_backwards", words)


@dataclass(slots=True)
class Standing:
    """Readings on record: what stands by aircraft, measure and instant; what was ever recorded."""

    now: dict[tuple[int, int, dt.datetime], tuple[int | None, int]] = field(default_factory=dict)
    ever: set[tuple[int, int, dt.datetime, int]] = field(default_factory=set)


def _standing(bases: Mapping[int, NewReading]) -> Standing:
    standing = Standing()
    if not bases:
        return standing
    instants = [base.read_at for base in bases.values()]
    found = UtilisationReading.objects.filter(
        aircraft__in={base.aircraft_id for base in bases.values()},
        read_at__range=(min(instants), max(instants)),
        is_annulment=False,
    )
    columns = ("aircraft_id", "measure_id", "read_at", "total", "pk", "corrected_by")
    for aircraft_id, measure_id, read_at, total, pk, corrected_by in found.values_list(*columns):
        standing.ever.add((aircraft_id, measure_id, read_at, total))
        if corrected_by is None:
            standing.now[aircraft_id, measure_id, read_at] = (pk, total)
    return standing


def _totals(batch: Batch) -> list[Said]:
    measures = lookups.measures(batch)
    units = lookups.units_of_measures(batch)
    codes = lookups.measures_by_code(batch)
    said: list[Said] = []
    for line in batch.good:
        before = len(said)
        for name, code in (("hours", Measure.FLIGHT_HOURS), ("cycles", Measure.FLIGHT_CYCLES)):
            total = batch[name][line]
            if total is not None and code in codes:
                said.append(Said(line, codes[code], total, name))
            elif total is not None:
                batch.refuse(
                    line,
                    name,
                    "unknown_measure",
                    f"There is no measure {code} on record. Bring it with the sheet 'Measures'.",
                )
        if (measure := measures[line]) is not None:
            said += _total_of_measure(batch, line, measure, units[measure])
        if len(said) == before and batch.is_good(line):
            batch.refuse(
                line,
                None,
                "no_total",
                "The line gives no total. Fill in hours, cycles, or a measure and its total.",
            )
    return said


def _total_of_measure(batch: Batch, line: int, measure_id: int, unit: str) -> list[Said]:
    total = total_in_measure(batch["total"][line], unit)
    if isinstance(total, CellProblem):
        batch.problem(line, "total", total)
        return []
    return [] if total is None else [Said(line, measure_id, total, "total")]


def _one_total(
    batch: Batch,
    each: Said,
    standing: Standing,
    rows: dict[int, list[NewReading]],
    base: NewReading,
) -> None:
    """This will make the reading of one total, unless it stands already or clashes with what does.

    ``base`` holds what the totals of a line share: aircraft, instant and source.
    """
    key = (base.aircraft_id, each.measure_id, base.read_at)
    there, is_correction = standing.now.get(key), bool(batch["correction"][each.line])
    corrects, total = there or (None, None)
    if total == each.total or (not is_correction and (*key, each.total) in standing.ever):
        return
    if total is not None and (not is_correction or corrects is None):
        shown = hours_words(total) if each.field == "hours" else str(total)
        batch.refuse(
            each.line,
            each.field,
            "reading_stands",
            f"A reading of {shown} stands for this aircraft and time. If this one is right, write "
            "yes under 'Correction'.",
        )
    elif total is None and is_correction:
        batch.refuse(
            each.line,
            "correction",
            "nothing_to_correct",
            "There is no reading of this aircraft and time to correct. Leave 'Correction' blank, "
            "or check the time.",
        )
    else:
        standing.now[key] = (None, each.total)
        made = _made(batch, each, base, corrects)
        rows.setdefault(each.line, []).append(made)


def _made(batch: Batch, each: Said, base: NewReading, corrects: int | None) -> NewReading:
    key = (base.aircraft_id, each.measure_id, base.read_at)
    return replace(
        base,
        measure_id=each.measure_id,
        total=each.total,
        act_id=batch.bringing.act_id("reading", *key, each.total, corrects),
        corrects_id=corrects,
        is_confirmed=bool(batch["confirmed"][each.line]),
    )


READINGS = SheetKind(
    "Readings",
    "Totals of aircraft as read. A date alone means the end of that day at the aircraft's station.",
    70,
    "record_reading",
    (
        NAMED_AIRCRAFT,
        Column(
            "Read on",
            "read_on",
            INSTANT,
            True,
            "Date, with the time if known.",
            ("date", "read at", "as of"),
            has_come=True,
        ),
        Column(
            "Hours",
            "hours",
            HOURS,
            meaning="Total flight hours.",
            aliases=("fh", "flight hours", "ttsn", "total hours", "tah"),
        ),
        Column(
            "Cycles",
            "cycles",
            COUNT,
            meaning="Total flight cycles.",
            aliases=("fc", "flight cycles", "tcsn", "total cycles", "tac", "landings"),
        ),
        Column("Measure", "measure", CODE, meaning="Code of another measure.", most=16),
        Column("Total", "total", TOTAL, meaning="Total of that measure: hours or a whole number."),
        column_of(NewReading, "source"),
        Column(
            "Correction",
            "correction",
            YES_NO,
            meaning="yes: this total replaces the one on record for the same aircraft and time.",
        ),
        Column(
            "Confirmed",
            "confirmed",
            YES_NO,
            meaning="yes: the totals are right, though far beyond the aircraft's usual use.",
        ),
    ),
    bring_readings,
    [
        ["Q-EXA", "2026-10-31", "31250:15", 14820, "", "", "Log 4410", ""],
        ["Q-EXA", "2026-11-15", "31402:40", 14893, "", "", "Log 4438", ""],
    ],
    aliases=("Utilisation", "Utilization", "Usage"),
)


SHEETS = (READINGS,)
