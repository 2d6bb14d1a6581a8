"""Facts of one unit as a person would tell them, and the engine's answer as plain values."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import Any

import numpy as np

from scheduling.engine.basis import columns as c
from scheduling.engine.basis.limits import Amount, Clock, Limit
from scheduling.engine.basis.result import missing_words
from scheduling.engine.clocks.due import reckon

MEASURES = (
    c.Measure("FH", "flight hours", is_hours=True),
    c.Measure("FC", "flight cycles"),
    c.Measure("FILL", "fillings", of_aircraft=False),
    c.Measure("USE", "hours of use", is_hours=True, of_aircraft=False),
)
CODES = [measure.code for measure in MEASURES]
METHODS = ("water jacket", "proof pressure", "direct expansion")
STANDARDS = ("", "A", "B")


def hours(text: str) -> int:
    """``1349:54`` or ``1349.9`` as minutes."""
    if ":" in text:
        whole, minutes = text.split(":")
        return int(whole) * 60 + int(minutes)
    return round(float(text) * 60)


def a_clock(amount: int | tuple[Amount, ...], measure: str = "months", **more: Any) -> Clock:
    amounts = (Amount(amount),) if isinstance(amount, int) else amount
    given = {"seq": 1, "counts_from": "last_done"} | more
    return Clock(measure=measure, amounts=amounts, **given)


def a_limit(*clocks: Clock, **more: Any) -> Limit:
    given = {
        "code": "25-60-01",
        "revision": "1",
        "title": "Overhaul",
        "work": "overhaul",
        "document": "CMM 25-60-01",
        "document_revision": "7",
    }
    return Limit(clocks=clocks, **given | more)


def stamp(text: str | None) -> tuple[str, int]:
    """A date as far as it is known (``2002``, ``2002-07``, ``2002-07-15``), with its precision."""
    if text is None:
        return "NaT", c.DAY
    precision = {4: c.YEAR, 7: c.MONTH, 10: c.DAY}[len(text)]
    return text + "-01" * precision, precision


def instant(text: str | None) -> str:
    """A day alone is its midnight; ``2026-01-31 end`` is the end of that day."""
    if text is None:
        return "NaT"
    if text.endswith(" end"):
        return str(np.datetime64(text[:10], "D") + 1)
    return text


@dataclass
class Told:
    """One unit's facts. Periods are (from, to), or (from, to, {"FH": (begun, ended)})."""

    manufactured: str | None = None
    life: int | None = None
    first_installed: str | None = None
    installed: str | None = None
    on_aircraft: bool = False
    standard: str | None = None
    new: bool = False
    done: str | None = None
    released: str | None = None
    shop_released: str | None = None
    original_due: str | None = None
    original_due_totals: dict[str, int] = field(default_factory=dict)
    method: str | None = None
    done_totals: dict[str, int] = field(default_factory=dict)
    extension: dict[str, int] = field(default_factory=dict)
    fitted: list[tuple[Any, ...]] = field(default_factory=list)
    store: list[tuple[str, str | None]] = field(default_factory=list)
    readings: dict[str, list[tuple[str, int]]] = field(default_factory=dict)
    statements: list[tuple[str, str, int]] = field(default_factory=list)
    parked: bool = False
    rates: dict[str, int] = field(default_factory=dict)
    aircraft_manufactured: str | None = None


def _totals(told: dict[str, int]) -> list[list[int]]:
    return [[told.get(code, c.UNKNOWN) for code in CODES]]


def facts_of(told: Told, subject: str = "unit") -> c.Facts:
    made, precision = stamp(told.manufactured)
    done, done_precision = stamp(told.done)
    aircraft = 0 if told.on_aircraft or subject != "unit" else -1
    units = c.Units.of(
        1,
        manufactured_on=[made],
        manufactured_precision=[precision],
        stated_life_months=[c.UNKNOWN if told.life is None else told.life],
        first_installed_on=[told.first_installed or "NaT"],
        installed_on=[told.installed or "NaT"],
        aircraft=[aircraft],
        standard=[-1 if told.standard is None else STANDARDS.index(told.standard)],
        new_when_first_recorded=[told.new],
    )
    items = c.Items.of(
        1,
        measures=len(MEASURES),
        limit=[0],
        unit=[0 if subject == "unit" else -1],
        aircraft=[-1 if subject in ("unit", "population") else 0],
        done_on=[done],
        done_precision=[done_precision],
        released_on=[told.released or "NaT"],
        shop_released_on=[told.shop_released or "NaT"],
        original_due_on=[told.original_due or "NaT"],
        original_due_total=_totals(told.original_due_totals),
        method=[-1 if told.method is None else METHODS.index(told.method)],
        done_total=_totals(told.done_totals),
        extension_days=[told.extension.get("days", 0)],
        extension_minutes=[told.extension.get("minutes", 0)],
        extension_count=[told.extension.get("count", 0)],
        extension=[0 if told.extension else -1],
    )
    return c.Facts(
        measures=MEASURES,
        units=units,
        aircraft=c.Aircraft.of(
            1,
            measures=len(MEASURES),
            manufactured_on=[told.aircraft_manufactured or "NaT"],
            parked=[told.parked],
            per_day_milli=_totals(told.rates),
        ),
        items=items,
        readings=_readings(told),
        on_aircraft=_periods(told),
        in_store=c.InStore.of(
            len(told.store),
            unit=[0] * len(told.store),
            from_on=[one for one, _ in told.store],
            to_on=[other or "NaT" for _, other in told.store],
        ),
        statements=_statements(told),
        methods=METHODS,
        standards=STANDARDS,
        extension_numbers=("EXT-26-014",),
    )


def _readings(told: Told) -> c.Readings:
    rows = sorted(
        (CODES.index(code), instant(at), total)
        for code, read in told.readings.items()
        for at, total in read
    )
    return c.Readings.of(
        len(rows),
        aircraft=[0] * len(rows),
        measure=[row[0] for row in rows],
        at=[row[1] for row in rows],
        total=[row[2] for row in rows],
    )


def _periods(told: Told) -> c.OnAircraft:
    read = [period[2] if len(period) > 2 else {} for period in told.fitted]
    unknown = (c.UNKNOWN, c.UNKNOWN)
    totals = [[one.get(code, unknown) for code in CODES] for one in read]
    number = len(told.fitted)
    shaped = np.array(totals, dtype="int64").reshape(number, len(CODES), 2)
    return c.OnAircraft.of(
        number,
        measures=len(CODES),
        unit=[0] * number,
        aircraft=[0] * number,
        from_at=[instant(period[0]) for period in told.fitted],
        to_at=[instant(period[1]) for period in told.fitted],
        from_total=shaped[:, :, 0],
        to_total=shaped[:, :, 1],
    )


def _statements(told: Told) -> c.LifeStatements:
    rows = sorted((CODES.index(code), on, total) for code, on, total in told.statements)
    return c.LifeStatements.of(
        len(rows),
        unit=[0] * len(rows),
        measure=[row[0] for row in rows],
        stated_on=[row[1] for row in rows],
        total=[row[2] for row in rows],
    )


class Answer:
    """One row of a ``Due`` as plain Python: dates, numbers, None where unknown."""

    def __init__(self, due: Any, row: int = 0) -> None:
        self._due, self._row = due, row

    def __getattr__(self, name: str) -> Any:
        value = getattr(self._due, name)[self._row]
        if isinstance(value, np.datetime64):
            return None if np.isnat(value) else value.item()
        value = value.item()
        return None if value == c.UNKNOWN else value

    @property
    def lacks(self) -> list[str]:
        return missing_words(self._due.missing[self._row])


def due_of(limit: Limit, as_of: str, **told: Any) -> Answer:
    """The engine's answer for one subject of this limit."""
    facts = facts_of(Told(**told), limit.subject)
    return Answer(reckon([limit], facts, date.fromisoformat(as_of)))
