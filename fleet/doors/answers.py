"""The API's answer of an act, made from the dataclass that says what is shown."""

from __future__ import annotations

import dataclasses
import types
from collections.abc import Callable, Mapping
from datetime import date, datetime
from decimal import Decimal
from functools import cache
from typing import Any, get_args, get_origin, get_type_hints
from uuid import UUID

from rest_framework import serializers

from fleet.acts.answers import HELP, READ

from .fields import Instant

Field = serializers.Field[Any, Any, Any, Any]


@cache
def answer_of(shown: type) -> type[serializers.Serializer[Any]]:
    """The answer's shape of a dataclass: its name and words in the schema are the dataclass's own.

    Its fields are text, whole numbers, numbers, true or false, days, instants, ids, other such
    dataclasses, and tuples of these; ``| None`` where there may be none. TypeError of anything else.
    """
    told = get_type_hints(shown)
    fields = {each.name: _field(each, told[each.name]) for each in dataclasses.fields(shown)}
    words = shown.__doc__ or ""
    is_own = not words.startswith(f"{shown.__name__}(")  # or Python has made them
    body = {**fields, **({"__doc__": words} if is_own else {})}
    return type(shown.__name__, (serializers.Serializer,), body)


def _field(field: dataclasses.Field[Any], told: Any) -> Field:
    options: dict[str, Any] = {}
    if read := field.metadata.get(READ):
        options["source"] = read
    if words := field.metadata.get(HELP):
        options["help_text"] = words
    inner = [each for each in get_args(told) if each is not types.NoneType]
    if isinstance(told, types.UnionType) and len(inner) == 1:
        options["allow_null"] = True
        told = inner[0]
    return _of_type(told, field.name, options)


def _of_type(told: Any, name: str, options: dict[str, Any]) -> Field:
    if get_origin(told) is tuple:
        each = get_args(told)[0]
        if dataclasses.is_dataclass(each):
            return answer_of(each)(many=True, **options)  # type: ignore[arg-type]
        return serializers.ListField(child=_of_type(each, name, {}), **options)
    if dataclasses.is_dataclass(told):
        return answer_of(told)(**options)  # type: ignore[arg-type]
    if told not in _FIELDS:
        raise TypeError(f"{name}: an answer cannot show {told}.")
    return _FIELDS[told](options)


_FIELDS: Mapping[Any, Callable[[dict[str, Any]], Field]] = {
    str: lambda options: serializers.CharField(**options),
    int: lambda options: serializers.IntegerField(**options),
    float: lambda options: serializers.FloatField(**options),
    bool: lambda options: serializers.BooleanField(**options),
    date: lambda options: serializers.DateField(**options),
    datetime: lambda options: Instant(read_only=True, **options),
    UUID: lambda options: serializers.UUIDField(**options),
    # Money: what else is exact has a shape of its own.
    Decimal: lambda options: serializers.DecimalField(max_digits=12, decimal_places=2, **options),
}
