"""The columns of a sheet, made from what is said to an act; and a line of it read back."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fleet.acts import fields
from fleet.acts.fields import Field, built, choices_of, fields_of

from . import columns
from .registry import Column

_KINDS: Mapping[str, str] = {
    fields.TEXT: columns.TEXT,
    fields.NUMBER: columns.COUNT,
    fields.YES_NO: columns.YES_NO,
    fields.CHOICE: columns.CHOICE,
    fields.CODES: columns.LIST,
    fields.DAY: columns.DAY,
    fields.STAMP: columns.STAMP,
    fields.MOMENT: columns.INSTANT,
    fields.CODED: columns.CODE,
}


def columns_of(said: type) -> tuple[Column, ...]:
    """The columns of what a sheet says of an act: of each field that has a heading, in their order.

    What is referred to by several columns (a unit by maker, part and serial number) has none here:
    the sheet adds those (``fleet.intake.registry.unit_columns``).
    """
    return tuple(_column(each) for each in fields_of(said) if each.said.heading is not None)


def column_of(said: type, name: str) -> Column:
    """The column of one field, by its name; KeyError if the sheet does not have it."""
    return {column.field: column for column in columns_of(said)}[name]


def _column(field: Field) -> Column:
    heading, said = field.said.heading, field.said
    assert heading is not None
    is_text = said.sort in (fields.TEXT, fields.CODED)
    longest = heading.most or (said.most if is_text else 0)
    most = {"most": longest} if longest else {}
    return Column(
        heading.name,
        field.name,
        heading.kind or _KINDS[said.sort],
        field.is_needed,
        heading.meaning,
        heading.aliases,
        dict(choices_of(said)) if said.sort == fields.CHOICE else {},
        has_come=heading.has_come,
        **most,
    )


def said_on(said: type, cells: Mapping[str, Any], **given: Any) -> Any:
    """What one line says, out of its cells by field; a blank cell is the field's default.

    ``given`` has what the columns do not: keys of rows that the line names.
    """
    values: dict[str, Any] = {}
    for each in fields_of(said):
        value = cells.get(each.name)
        if value is None or each.said.heading is None:
            continue
        if each.said.sort == fields.STAMP:
            values |= {each.attribute: value.on, each.said.precision: value.precision}
        else:
            values[each.attribute] = tuple(value) if isinstance(value, list) else value
    return built(said, values | given)
