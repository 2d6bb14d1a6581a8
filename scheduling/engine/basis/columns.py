"""The facts of a batch, in columns: one numpy array per fact, one index space per noun.

Conventions, the same in every table:

- **Index spaces**: rows of ``Units``, ``Aircraft``, positions in the tuples ``measures``,
  ``methods`` and ``standards`` of :class:`Facts`, positions in the tuple of limits. -1 is *none*.
- **Dates** are ``datetime64[D]``, ``NaT`` where unknown. A date known to the month is its first day
  with precision ``MONTH``; to the year, 1 January with ``YEAR``.
- **Instants** are ``datetime64[s]``, ``NaT`` for an open end, in the wall-clock time of the place
  (in SQL: ``at AT TIME ZONE zone``), so that they compare with dates. A reading with a date alone
  is at the end of its day: midnight that begins the next day.
- **Totals** are int64, minutes or counts as the measure says, ``UNKNOWN`` where not known.
- Tables hold what had happened by the day asked for and was valid (corrected, annulled and
  non-conforming facts already left out). Only readings may reach beyond it.

``Table.of(n, **columns)`` fills the columns not given with *unknown*; a wrong length or a column
nobody knows raises ValueError. Columns are taken as they are (no copy) when the type fits.
"""

# ruff: noqa: RUF009 (the calls below make dataclass fields, each with its own type and filling)
from __future__ import annotations

from dataclasses import dataclass, field, fields, replace
from typing import Any, Self

import numpy as np
import numpy.typing as npt

UNKNOWN = -(1 << 62)
DAY, MONTH, YEAR = 0, 1, 2

Bools = npt.NDArray[np.bool_]
Dates = npt.NDArray[np.datetime64]
Instants = npt.NDArray[np.datetime64]
Ints = npt.NDArray[np.int64]
Indices = npt.NDArray[np.int64]


def _column(dtype: str, fill: Any, *, per_measure: bool = False) -> Any:
    return field(metadata={"dtype": dtype, "fill": fill, "per_measure": per_measure})


def date_column() -> Any:
    return _column("datetime64[D]", np.datetime64("NaT"))


def _instant() -> Any:
    return _column("datetime64[s]", np.datetime64("NaT"))


def index_column() -> Any:
    return _column("int64", -1)


def flag_column() -> Any:
    return _column("bool", False)


def _total(*, per_measure: bool = False) -> Any:
    return _column("int64", UNKNOWN, per_measure=per_measure)


@dataclass(frozen=True, slots=True)
class Table:
    """Columns of one length. Those *per measure* have shape (rows, measures)."""

    @classmethod
    def of(cls, rows: int, *, measures: int = 0, **columns: Any) -> Self:
        """A table of ``rows`` rows; columns not named are unknown throughout."""
        known = {one.name: one.metadata for one in fields(cls)}
        if strange := set(columns) - set(known):
            raise ValueError(f"{cls.__name__} has no column {', '.join(sorted(strange))}.")
        made = {}
        for name, told in known.items():
            shape = (rows, measures) if told["per_measure"] else (rows,)
            if name in columns:
                made[name] = np.asarray(columns[name], dtype=told["dtype"])
            else:
                made[name] = np.full(shape, told["fill"], dtype=told["dtype"])
            if made[name].shape != shape:
                raise ValueError(f"{cls.__name__}.{name} is {made[name].shape}, not {shape}.")
        return cls(**made)

    def take(self, rows: Any) -> Self:
        """The same columns with only these rows."""
        return replace(self, **{one.name: getattr(self, one.name)[rows] for one in fields(self)})

    def __len__(self) -> int:
        return len(getattr(self, fields(self)[0].name))


@dataclass(frozen=True, slots=True)
class Units(Table):
    """One row per unit. ``aircraft`` is the one it is on now (itself or inside another), -1 else.

    ``installed_on`` is the day of its present fitting, ``first_installed_on`` of its first ever.
    ``new_when_first_recorded``: our records begin with the unit new, so its totals start from
    nought without a life statement. ``standard`` -1 is *not recorded*: give an unmodified unit a
    standard of its own (such as "") where amounts depend on standards.
    """

    manufactured_on: Dates = date_column()
    manufactured_precision: npt.NDArray[np.int8] = _column("int8", DAY)
    stated_life_months: Ints = _total()
    first_installed_on: Dates = date_column()
    installed_on: Dates = date_column()
    aircraft: Indices = index_column()
    standard: Indices = index_column()
    new_when_first_recorded: Bools = _column("bool", False)


@dataclass(frozen=True, slots=True)
class Aircraft(Table):
    """One row per aircraft. ``per_day_milli`` is the planner's figure for each measure, in
    thousandths of the measure per day; UNKNOWN means: take the rate from the trailing readings."""

    manufactured_on: Dates = date_column()
    parked: Bools = _column("bool", False)
    per_day_milli: Ints = _total(per_measure=True)


@dataclass(frozen=True, slots=True)
class Ahead(Table):
    """What is known of aircraft in days to come, sorted by aircraft, ``from_on``: from each of these days
    on, all after the day asked, until the next of that aircraft, whether it is parked, whether it has
    left the fleet, and the planner's figures, as in :class:`Aircraft`."""

    aircraft: Indices = index_column()
    from_on: Dates = date_column()
    parked: Bools = _column("bool", False)
    has_left: Bools = _column("bool", False)
    per_day_milli: Ints = _total(per_measure=True)


@dataclass(frozen=True, slots=True)
class Readings(Table):
    """Aircraft totals as read, sorted by aircraft, measure, ``at``; no two at one instant."""

    aircraft: Indices = index_column()
    measure: Indices = index_column()
    at: Instants = _instant()
    total: Ints = _total()


@dataclass(frozen=True, slots=True)
class OnAircraft(Table):
    """Periods of a unit on an aircraft, itself or inside another; sorted by unit, ``from_at``; none
    of one unit overlap. ``to_at`` NaT is still there. ``from_total`` and ``to_total`` are aircraft
    totals read at the movements: they win over interpolated readings."""

    unit: Indices = index_column()
    aircraft: Indices = index_column()
    from_at: Instants = _instant()
    to_at: Instants = _instant()
    from_total: Ints = _total(per_measure=True)
    to_total: Ints = _total(per_measure=True)


@dataclass(frozen=True, slots=True)
class InStore(Table):
    """Times of a unit in stores (not in shops), sorted by unit, ``from_on``; times that touch are
    joined into one. The day of arrival counts, the day of leaving does not; NaT is still there."""

    unit: Indices = index_column()
    from_on: Dates = date_column()
    to_on: Dates = date_column()


@dataclass(frozen=True, slots=True)
class LifeStatements(Table):
    """Totals since new of one measure of one unit, holding at the end of ``stated_on``; sorted by
    unit, measure, ``stated_on``. Counts of the unit's own measures (fillings) are such rows too."""

    unit: Indices = index_column()
    measure: Indices = index_column()
    stated_on: Dates = date_column()
    total: Ints = _total()


@dataclass(frozen=True, slots=True)
class Items(Table):
    """One row per due item: a subject under a limit. **Sorted by** ``limit``.

    ``unit`` for a unit; else -1, and ``aircraft`` for an aircraft or the aircraft of a position
    (both -1 for a population). The rest is the limit's last work on this subject: ``done_on`` NaT
    where it was never done. ``done_total`` are the subject's own totals recorded at the work;
    ``original_due_*`` when it was due. Extensions are the sum that holds for the present interval;
    ``extension`` points into ``Facts.extension_numbers``.
    """

    limit: Indices = index_column()
    unit: Indices = index_column()
    aircraft: Indices = index_column()
    done_on: Dates = date_column()
    done_precision: npt.NDArray[np.int8] = _column("int8", DAY)
    released_on: Dates = date_column()
    shop_released_on: Dates = date_column()
    original_due_on: Dates = date_column()
    method: Indices = index_column()
    done_total: Ints = _total(per_measure=True)
    original_due_total: Ints = _total(per_measure=True)
    extension_days: Ints = _column("int64", 0)
    extension_minutes: Ints = _column("int64", 0)
    extension_count: Ints = _column("int64", 0)
    extension: Indices = index_column()


@dataclass(frozen=True, slots=True)
class Measure:
    """``is_hours``: totals are minutes, else a plain count. ``of_aircraft``: counted on the aircraft
    and passed on to the units on it; else counted on the unit itself (fillings). ``is_further``: of
    the aircraft's, and neither its flight hours nor its flight cycles (landings at listed stations).
    """

    code: str
    name: str
    is_hours: bool = False
    of_aircraft: bool = True
    is_further: bool = False


@dataclass(frozen=True, slots=True)
class Facts:
    """All that a batch is reckoned from. ``rate_days`` is how far back a trailing rate looks.
    ``fitted_at`` is given for explanations only: where each row of ``on_aircraft`` was, in words.
    ``ahead`` None: nothing is known of days to come."""

    measures: tuple[Measure, ...]
    units: Units
    aircraft: Aircraft
    items: Items
    readings: Readings
    on_aircraft: OnAircraft
    in_store: InStore
    statements: LifeStatements
    methods: tuple[str, ...] = ()
    standards: tuple[str, ...] = ()
    extension_numbers: tuple[str, ...] = ()
    rate_days: int = 90
    fitted_at: tuple[str, ...] = ()
    ahead: Ahead | None = None

    def measure_index(self, code: str) -> int:
        """Where this measure is. ValueError for a code that the facts do not have."""
        for index, measure in enumerate(self.measures):
            if measure.code == code:
                return index
        raise ValueError(f"No measure {code} in the facts.")

    def aircraft_of_items(self) -> Indices:
        """The aircraft that each item's subject is (on) now, -1 for none."""
        unit = self.items.unit
        if not len(self.units):
            return self.items.aircraft
        aircraft: Indices = np.where(unit >= 0, self.units.aircraft[unit], self.items.aircraft)
        return aircraft

    def only(self, items: Any) -> Facts:
        """The same facts with only these items."""
        return replace(self, items=self.items.take(items))
