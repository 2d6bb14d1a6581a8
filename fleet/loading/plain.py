"""The way in of a plain fact: compared with what is on record by its key, the new ones written."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from django.contrib.postgres.fields import ArrayField
from django.db import connection, models

from fleet.house import pace
from fleet.loading.acts.bring_in import bring_in_rows, change_rows

from .batch import Batch

Values = Mapping[str, Sequence[Any]]


def bring_plain(
    batch: Batch,
    model: type[models.Model],
    *,
    key: tuple[str, ...],
    values: Values,
    only_new: Values | None = None,
    fixed: Mapping[str, object] | None = None,
    may_change: tuple[str, ...] = (),
) -> list[int]:
    """This will bring in the good lines as rows of ``model`` and say which lines were written.

    ``values`` gives by column of the table (``station_id``) one value for each line, None where the
    sheet says nothing. A line whose ``key`` is on record with the same values is known; with other
    values it is refused, or changes the record where all that differ are in ``may_change``.
    ``only_new`` columns are written for new rows and not compared; ``fixed`` ones are besides the
    same in each row.
    """
    pace.reached(0.1, "comparing with what is on record")
    keys = list(zip(*(values[name] for name in key), strict=True))
    lines = _without_doubles(batch, key, keys, values)
    on_record = _on_record(model, key, values, lines)
    new = [i for i in lines if keys[i] not in on_record] if on_record else lines
    found = {i: on_record[keys[i]] for i in lines if keys[i] in on_record} if on_record else {}
    changes = _compare(batch, values, found, may_change, _comparers(model, values))
    by = batch.bringing.by
    act = batch.table.kind.act
    if new:
        columns = {**values, **(only_new or {})}
        if len(new) < len(batch):
            columns = {name: [column[i] for i in new] for name, column in columns.items()}
        with pace.part(0.3, 1):
            bring_in_rows(by=by, act=act, model=model, columns=columns, fixed=fixed or {})
    if changes:
        change_rows(by=by, act=act, model=model, changes=changes)
    if new or changes:
        batch.bringing.cache.clear()
    return new


def _without_doubles(
    batch: Batch, key: tuple[str, ...], keys: Sequence[tuple[Any, ...]], values: Values
) -> list[int]:
    """The good lines, each key once; a line said twice is known, one contradicted is refused."""
    first: dict[tuple[Any, ...], int] = {}
    good = batch.good
    # Often one column of the key, such as the serial number, tells all lines apart.
    columns = (values[name] for name in reversed(key))
    if any(len(set(column)) == len(keys) for column in (*columns, keys)):
        return good
    lines = []
    for line in good:
        before = first.setdefault(keys[line], line)
        if before == line:
            lines.append(line)
        elif all(column[before] == column[line] for column in values.values()):
            batch.know([line])
        else:
            refuse_contradicting(batch, line, before)
    return lines


def refuse_contradicting(batch: Batch, line: int, before: int) -> None:
    """This will refuse a line that says otherwise of what stands in a line before it."""
    row = batch.table.rows[before]
    batch.refuse(
        line,
        None,
        "contradicts_line",
        f"Row {row} of this sheet says otherwise of the same thing. Leave the right one of the two.",
    )


def _on_record(
    model: type[models.Model],
    key: tuple[str, ...],
    values: Values,
    lines: list[int],
) -> dict[tuple[Any, ...], tuple[Any, ...]]:
    """By key, the row's own key and its values, for every line that is on record."""
    if not lines or not _any_of(model, key, values, lines):
        return {}
    kept = model._meta
    names = ["id", *key, *values]
    columns = ", ".join(_column(model, name) for name in names)
    tests, given = [], []
    for name in key:
        column = _column(model, name)
        asked = {values[name][i] for i in lines}
        is_blank = f" OR {column} IS NULL" if None in asked else ""
        tests.append(f"({column} = ANY(%s){is_blank})")
        given.append(list(asked - {None}))
    # An array is one parameter, where a list of 100,000 would be as many.
    sql = f"SELECT {columns} FROM {_quoted(kept.db_table)} WHERE {' AND '.join(tests)}"
    with connection.cursor() as cursor:
        cursor.execute(sql, given)
        rows = cursor.fetchall()
    as_kept = [name for name in values if isinstance(kept.get_field(name), models.JSONField)]
    places = [names.index(name, len(key) + 1) for name in as_kept]
    count = len(key) + 1
    return {row[1:count]: (row[0], *_decoded(row, places)[count:]) for row in rows}


def choices_of(model: type[models.Model], name: str) -> dict[str, str]:
    """The codes that a field takes and their words, for a column of choices."""
    field = model._meta.get_field(name)
    return {str(code): str(words) for code, words in getattr(field, "choices", None) or ()}


def _column(model: type[models.Model], name: str) -> str:
    field = model._meta.get_field(name)
    assert isinstance(field, models.Field)  # a plain fact has no reverse relations in its key
    return _quoted(str(field.column))


def _any_of(
    model: type[models.Model], key: tuple[str, ...], values: Values, lines: list[int]
) -> bool:
    """Whether anything at all is on record under the part of the key that says the least.

    A first load asks of 120 part numbers here, and not of 100,000 serial numbers.
    """
    asked = {name: {values[name][i] for i in lines} for name in key}
    name = min(asked, key=lambda each: len(asked[each]))
    if None in asked[name]:
        return True
    column = _column(model, name)
    table = _quoted(model._meta.db_table)
    with connection.cursor() as cursor:
        cursor.execute(
            f"SELECT EXISTS (SELECT FROM {table} WHERE {column} = ANY(%s))",
            [list(asked[name])],
        )
        return bool(cursor.fetchone()[0])


def _quoted(name: str) -> str:
    return connection.ops.quote_name(name)


def _decoded(row: tuple[Any, ...], places: Sequence[int]) -> tuple[Any, ...]:
    """A row with its JSON read: Django takes it as text from the driver."""
    if not places:
        return row
    return tuple(
        json.loads(cell) if at in places and isinstance(cell, str) else cell
        for at, cell in enumerate(row)
    )


def _compare(
    batch: Batch,
    values: Values,
    found: Mapping[int, tuple[Any, ...]],
    may_change: tuple[str, ...],
    same: Mapping[str, Callable[[Any, Any], bool]],
) -> dict[int, dict[str, Any]]:
    """What to change by the record's key, after telling known lines and refusing those that differ.

    ``found`` holds, by line, the record's key and its values in the order of ``values``.
    """
    changes: dict[int, dict[str, Any]] = {}
    for line, (pk, *kept) in found.items():
        differing = {
            name: there
            for (name, column), there in zip(values.items(), kept, strict=True)
            if column[line] is not None and not same[name](column[line], there)
        }
        fixed = [name for name in differing if name not in may_change]
        if not differing:
            batch.know([line])
        elif fixed:
            refuse_differing(batch, line, fixed[0], differing[fixed[0]])
        else:
            changes[pk] = {name: values[name][line] for name in differing}
    return changes


def _as_kept(value: Any) -> Any:
    """Tuples, inner ones too, as the lists that JSON keeps."""
    return [_as_kept(each) for each in value] if isinstance(value, tuple) else value


def _comparers(model: type[models.Model], values: Values) -> dict[str, Callable[[Any, Any], bool]]:
    def of_list(brought: Any, kept: Any) -> bool:
        return _as_kept(brought) == (kept or [] if isinstance(brought, tuple) else kept)

    def plainly(brought: Any, kept: Any) -> bool:
        return bool(brought == kept)

    return {
        name: of_list
        if isinstance(model._meta.get_field(name), models.JSONField | ArrayField)
        else plainly
        for name in values
    }


def refuse_otherwise(batch: Batch, line: int) -> None:
    """This will refuse a line that says otherwise than what is on record under its act."""
    batch.refuse(
        line,
        None,
        "differs_from_record",
        "This is on record already, and the line says otherwise. A load adds facts and does not rewrite"
        " them: put the line right, or record what has changed.",
    )


def refuse_differing(batch: Batch, line: int, name: str, kept: Any) -> None:
    """This will refuse a line that says otherwise, in this field, than the record, which has ``kept``."""
    field = name.removesuffix("_id")
    columns = {column.field: column for column in batch.table.kind.columns}
    column = columns.get(field) or columns.get(name)
    what = f"'{column.name}'" if column else field.replace("_", " ")
    on_record = (
        "" if name.endswith("_id") else f" ({kept})" if kept not in (None, "") else " (blank)"
    )
    batch.refuse(
        line,
        column.field if column else None,
        "differs_from_record",
        f"This is on record already with another {what}{on_record}. A load adds facts and does not "
        "rewrite them: put the line right, or record the correction.",
    )


def recorded(batch: Batch) -> dict[str, object]:
    """Who recorded a new row, and when."""
    return {"recorded_at": batch.bringing.at, "recorded_by_id": batch.bringing.by.pk}
