"""Bulk writes of what sheets bring: whole columns into a table by COPY."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from django.contrib.postgres.fields import ArrayField
from django.db import connection, models, transaction

from fleet.house import desks, pace
from fleet.models import User

_ESCAPES = str.maketrans({"\\": "\\\\", "\t": "\\t", "\n": "\\n", "\r": "\\r"})
ROWS_A_WRITE = 5_000


@transaction.atomic
def bring_in_rows(
    *,
    by: User,
    act: str,
    model: type[models.Model],
    columns: Mapping[str, Sequence[Any]],
    fixed: Mapping[str, object],
) -> int:
    """This will write new rows of ``model``, given by column, and say how many.

    Columns that are not given take the model's default. Refuses with ``not_permitted``; a clash
    with what is on record raises ``IntegrityError`` with the constraint's name.
    """
    desks.ask(by, act)
    count = len(next(iter(columns.values()), ()))
    if not count:
        return 0
    given = {name: _written(model, name, values) for name, values in columns.items()}
    names: list[str] = []
    texts: list[list[str]] = []
    for field in model._meta.concrete_fields:
        if field.attname in given:
            texts.append(given[field.attname])
        elif field.attname in fixed:
            texts.append(_written(model, field.attname, [fixed[field.attname]]) * count)
        elif field.primary_key or field.null or field.generated:
            continue
        else:
            texts.append(_written(model, field.attname, [field.get_default()]) * count)
        names.append(connection.ops.quote_name(str(field.column)))
    table = connection.ops.quote_name(model._meta.db_table)
    _copied(f"COPY {table} ({', '.join(names)}) FROM STDIN", texts, count)
    return count


def _copied(statement: str, texts: list[list[str]], count: int) -> None:
    """Rows are put together piece by piece, while the server works on the piece before."""
    with connection.cursor() as cursor, cursor.copy(statement) as copy:
        for start in range(0, count, ROWS_A_WRITE):
            pace.reached(start / count, "writing")
            part = [column[start : start + ROWS_A_WRITE] for column in texts]
            copy.write("\n".join(map("\t".join, zip(*part, strict=True))) + "\n")


@transaction.atomic
def change_rows(
    *, by: User, act: str, model: type[models.Model], changes: Mapping[int, Mapping[str, Any]]
) -> int:
    """This will change fields of rows by their key, such as a station's name; refuses as above."""
    desks.ask(by, act)
    kept = model._default_manager.in_bulk(list(changes))
    for key, fields in changes.items():
        for name, value in fields.items():
            setattr(kept[key], name, list(value) if isinstance(value, tuple) else value)
    names = {name for fields in changes.values() for name in fields}
    model._default_manager.bulk_update(kept.values(), sorted(names), batch_size=1000)
    return len(kept)


def _written(model: type[models.Model], name: str, values: Sequence[Any]) -> list[str]:
    """Values as COPY's text form, None as the model's default or NULL."""
    field = model._meta.get_field(name)
    default = None if field.null else field.get_default()  # type: ignore[union-attr]
    text = _writer(field)
    blank = "\\N" if default is None else text(default)
    if set(map(type, values)) == {str} and not isinstance(field, models.JSONField):
        return _escaped(values)
    if not _few(values):
        return [blank if value is None else text(value) for value in values]
    texts = {value: text(value) for value in set(values) if value is not None}
    texts[None] = blank
    return list(map(texts.__getitem__, values))


def _escaped(values: Sequence[str]) -> list[str]:
    """Text for COPY: most columns hold nothing that it would misread."""
    whole = "\v".join(values)
    if not any(mark in whole for mark in "\\\t\n\r"):
        return list(values)
    return [value.translate(_ESCAPES) for value in values]


def _few(values: Sequence[Any]) -> bool:
    """Whether values can be keys of a dict (lists cannot)."""
    return not any(isinstance(value, list | dict) for value in values[:1000])


def _writer(field: Any) -> Callable[[Any], str]:
    if isinstance(field, ArrayField):
        return lambda value: _array(value).translate(_ESCAPES)
    if isinstance(field, models.JSONField):
        return lambda value: json.dumps(value).translate(_ESCAPES)
    if isinstance(field, models.BooleanField):
        return lambda value: "t" if value else "f"
    return lambda value: str(value).translate(_ESCAPES)


def _array(values: Sequence[object]) -> str:
    """Texts as PostgreSQL writes an array, each in quotes."""
    quoted = (str(value).replace("\\", "\\\\").replace('"', '\\"') for value in values)
    return "{" + ",".join(f'"{value}"' for value in quoted) + "}"
