"""The due items of a batch as rows of their table: as columns, as COPY's bytes, as they differ."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from datetime import date
from typing import Any

import numpy as np

from scheduling.engine.basis.bands import Band, band_of
from scheduling.engine.basis.columns import UNKNOWN
from scheduling.engine.basis.result import Due, Stop
from scheduling.engine.clocks.ahead import governing, together
from scheduling.engine.telling.flags import Flag

from .batch import Batch
from .copying import NO_DATE, Ints, read
from .items import LIMIT_BITS, LONG_PAST, NEVER, SORT_BITS, Item

NULL = NO_DATE
Table = dict[str, Ints]


@dataclass(frozen=True, slots=True)
class Column:
    """One column of the table: ``width`` in bytes as PostgreSQL holds it."""

    name: str
    width: int
    is_date: bool = False
    is_flag: bool = False


def _column(name: str) -> Column:
    if name.endswith("_on") or name == "as_of":
        return Column(name, 4, is_date=True)
    if name == "due_on_projected":
        return Column(name, 1, is_flag=True)
    return Column(name, {"band": 2, "decided_by": 2, "flags": 2, "missing": 4}.get(name, 8))


COLUMNS = tuple(_column(name) for name in Item._fields)
# Not compared: an item that stands as it is on another day is not written again for the day.
OF_THE_DAY = {"as_of"}


def empty_table() -> Table:
    """No due items at all."""
    return {column.name: np.empty(0, np.int64) for column in COLUMNS}


def table_of(batch: Batch) -> Table:
    """The due items of a batch, sorted by key: int64 throughout, dates as days since 1970. Of rules that
    follow each other on one subject the one that decides."""
    parts = [(part, part.reckoned()) for part in batch.parts()]
    tables = [_columns(part, due) for part, due in parts]
    table = {name: np.concatenate([one[name] for one in tables]) for name in tables[0]}
    if len(parts) > 1:
        kept = _governing(batch, together(*(due for _, due in parts)))
        table = {name: column[kept] for name, column in table.items()}
    order = np.argsort(table["id"])
    return {column.name: table[column.name][order] for column in COLUMNS}


def _governing(batch: Batch, due: Due) -> Ints:
    """The rows that decide, of today's rules and then of those to come: only where one of these has the
    same code, and of an aircraft's units the same subject, is there anything to choose."""
    groups = np.concatenate(_groups(batch))
    later = batch.later
    assert later is not None
    assert later.from_on is not None
    number = len(batch.subjects)
    from_on = np.concatenate([np.full(number, np.datetime64("NaT", "D")), later.from_on])
    either = np.flatnonzero(np.isin(groups, groups[number:]))
    some = Due(**{one.name: getattr(due, one.name)[either] for one in fields(Due)})
    kept = np.ones(len(groups), bool)
    kept[either] = governing(some, groups[either], from_on[either])
    return np.flatnonzero(kept)


def _groups(batch: Batch) -> list[Ints]:
    """What stays itself through revisions, in one number: the subject and the limit's code; off an
    aircraft the programme too, as several may govern a spare at once."""
    named: dict[tuple[str, int], int] = {}
    found = []
    for part in batch.parts():
        pairs = np.array(
            [
                [named.setdefault((r.limit.code, key), len(named)) for key in (0, r.programme_id)]
                for r in part.rules.rules
            ],
            np.int64,
        ).reshape(-1, 2)
        subjects = part.subjects
        of_rule = pairs[subjects.rule, (subjects.aircraft < 0).astype(np.int64)]
        found.append((subjects.id << SORT_BITS | subjects.sort) << LIMIT_BITS | of_rule)
    return found


def _columns(batch: Batch, due: Due) -> Table:
    subjects, rules = batch.subjects, batch.rules.rules
    limit_ids = np.array([rule.id for rule in rules], np.int64)
    is_unfit = np.isin(subjects.unit_id, batch.craft.unfit.every) & (subjects.aircraft >= 0)
    limits, checks = batch.rules.limits, batch.craft.checks
    band, check = band_of(limits, batch.facts, due, checks, batch.as_of, is_unfit=is_unfit)
    limit_id = limit_ids[subjects.rule]
    return {
        "id": keys_of(batch),
        "limit_id": limit_id,
        "unit_id": _or_null(subjects.unit_id),
        "position_id": _or_null(subjects.position_id),
        "aircraft_id": _of(batch.craft.ids, subjects.aircraft),
        "line_unit_id": _or_null(subjects.line_unit_id),
        "station_id": _or_null(subjects.station_id),
        "kind_id": _or_null(subjects.kind_id),
        "part_number_id": _or_null(subjects.part_id),
        "work_id": np.array([rule.work_id for rule in rules], np.int64)[subjects.rule],
        "as_of": np.full(len(subjects), np.datetime64(batch.as_of, "D").astype(np.int64)),
        "band": band.astype(np.int64),
        "sort_on": _sort_on(due, band),
        "missing": due.missing.astype(np.int64),
        "flags": _flags(due) | _grounds(batch, due),
        "check_planned_id": _of(batch.craft.check_ids, check),
        "unit_stamp": subjects.unit_stamp,
        "aircraft_stamp": np.maximum(_of(batch.craft.stamp, subjects.aircraft), 0),
        "programme_stamp": np.array([rule.programme_stamp for rule in rules], np.int64)[
            subjects.rule
        ],
        "rule_from_on": _from_on(batch),
        **_of_due(due),
    }


def _from_on(batch: Batch) -> Ints:
    if batch.from_on is None:
        return np.full(len(batch.subjects), NULL)
    return _days(batch.from_on)


def keys_of(batch: Batch) -> Ints:
    """The key of each item of a batch, in the batch's order: see ``scheduling.facts.items``."""
    limit_id = np.array([rule.id for rule in batch.rules.rules], np.int64)[batch.subjects.rule]
    keys: Ints = (batch.subjects.id << LIMIT_BITS | limit_id) << SORT_BITS | batch.subjects.sort
    return keys


def _of_due(due: Due) -> Table:
    return {
        "due_on": _days(due.due_on),
        "until_on": _days(due.variation_until_on),
        "due_on_projected": due.due_on_projected.astype(np.int64),
        "due_at_minutes": _known(due.due_at_minutes),
        "due_at_cycles": _known(due.due_at_cycles),
        "due_at_other": _known(due.due_at_other),
        "left_minutes": _known(due.left_minutes),
        "left_cycles": _known(due.left_cycles),
        "left_other": _known(due.left_other),
        "start_on": _days(due.start_on),
        "decided_by": _or_null(due.decided_by.astype(np.int64)),
        "worst_on": _days(due.worst_on),
    }


def _or_null(column: Ints) -> Ints:
    return np.where(column < 0, NULL, column)


def _known(column: Ints) -> Ints:
    return np.where(column == UNKNOWN, NULL, column)


def _days(column: Any) -> Ints:
    found: Ints = column.astype("datetime64[D]").astype(np.int64)
    return found


def _of(values: Ints, index: Ints) -> Ints:
    if not len(values):
        return np.full(len(index), NULL)
    return np.where(index >= 0, values[index], NULL)


def _sort_on(due: Due, band: Any) -> Ints:
    """The due date, or the worst; of one that is past without a date the first day there is. What is not
    asked stands behind all that is."""
    found = np.where(np.isnat(due.due_on), due.worst_on, due.due_on).astype("datetime64[D]")
    found = np.where(band == Band.QUIET, np.datetime64("NaT"), found)
    dateless = np.where(band == Band.OVERDUE, np.datetime64(LONG_PAST), np.datetime64(NEVER))
    return _days(np.where(np.isnat(found), dateless, found))


def _flags(due: Due) -> Ints:
    known_stop = due.decided_by >= 0
    held = (
        (Flag.WITHIN_VARIATION, due.within_variation),
        (Flag.EXTENDED, due.is_extended),
        (Flag.MAY_NOT_REFILL, ~due.may_refill),
        (Flag.MAY_NOT_INSTALL, ~due.may_install),
        (Flag.END_OF_LIFE, known_stop & (due.stop == Stop.END_OF_LIFE)),
        (Flag.UNTIL_EMPTIED, known_stop & (due.stop == Stop.UNTIL_EMPTIED)),
        (Flag.GROWING, due.is_growing),
        (Flag.NO_RATE, due.no_rate & np.isnat(due.due_on)),
        (Flag.MAY_NOT_FLY, ~due.may_fly),
    )
    flags = np.zeros(len(due.state), np.int64)
    for flag, holds in held:
        flags |= np.where(holds, int(flag), 0)
    return flags


def _grounds(batch: Batch, due: Due) -> Ints:
    """What grounds its aircraft: a limit passed that it may not fly with, one that it cannot be shown to be
    inside for want of a fact, or what is not serviceable and no document lets stay. A spare grounds nothing, nor what may stay until it is emptied."""
    subjects = batch.subjects
    holds = ~due.may_fly | due.may_be_past | np.isin(subjects.unit_id, batch.craft.unfit.grounding)
    return np.where(holds & (subjects.aircraft >= 0), int(Flag.GROUNDS), 0)


def items_of(table: Table, rows: Sequence[int] | Ints) -> list[Item]:
    """These rows of a table as items: what the page reads."""
    columns = [_values(column, table[column.name][rows]) for column in COLUMNS]
    return [Item._make(row) for row in zip(*columns, strict=True)]


def _values(column: Column, values: Ints) -> list[Any]:
    if column.is_date:
        return [None if day == NULL else date.fromordinal(day + EPOCH) for day in values.tolist()]
    if column.is_flag:
        return [bool(value) for value in values.tolist()]
    return [None if value == NULL else value for value in values.tolist()]


EPOCH = date(1970, 1, 1).toordinal()
TO_2000 = (date(2000, 1, 1) - date(1970, 1, 1)).days


def encoded(table: Table, rows: Ints) -> bytes:
    """These rows as the tuples of a binary COPY into the table's columns."""
    total = 2 + sum(4 + column.width for column in COLUMNS)
    cells = np.zeros((len(rows), total), np.uint8)
    kept = np.ones((len(rows), total), bool)
    cells[:, :2] = np.frombuffer(len(COLUMNS).to_bytes(2, "big"), np.uint8)
    at = 2
    for column in COLUMNS:
        values = table[column.name][rows]
        is_null = values == NULL
        length = np.where(is_null, -1, column.width).astype(">i4")
        cells[:, at : at + 4] = length.view(np.uint8).reshape(-1, 4)
        if column.is_date:
            values = values - TO_2000
        data = values.astype(f">i{column.width}").view(np.uint8).reshape(-1, column.width)
        cells[:, at + 4 : at + 4 + column.width] = data
        kept[:, at + 4 : at + 4 + column.width] = ~is_null[:, None]
        at += 4 + column.width
    return cells[kept].tobytes()


def stored(where: str, params: Sequence[Any], table: str = "scheduling_dueitem") -> Table:
    """The stored items that meet the condition (about ``d``), sorted by key; or those of the list before."""
    return read(
        {column.name: _sql(column) for column in COLUMNS},
        f"FROM {table} d WHERE {where} ORDER BY d.id",
        params,
    )


def _sql(column: Column) -> str:
    name = f"d.{column.name}"
    if column.is_date:
        name = f"({name} - DATE '1970-01-01')"
    if column.is_flag:
        name = f"{name}::int"
    return f"coalesce({name}, {NULL})::bigint"


def differing(new: Table, old: Table) -> tuple[Ints, Ints]:
    """(rows of ``new`` to write, keys of ``old`` to delete): what makes the stored ones like the new."""
    at = np.searchsorted(old["id"], new["id"])
    at_known = np.minimum(at, max(len(old["id"]) - 1, 0))
    same = np.zeros(len(new["id"]), bool)
    if len(old["id"]):
        same = old["id"][at_known] == new["id"]
        for column in COLUMNS:
            if column.name not in OF_THE_DAY:
                same &= new[column.name] == old[column.name][at_known]
    stands = np.zeros(len(old["id"]), bool)
    stands[at_known[same]] = True
    return np.flatnonzero(~same), old["id"][~stands]
