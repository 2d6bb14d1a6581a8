"""The door of a list: what it lists, in which order, by what it is narrowed; the rest follows."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from django.db.models import Q, QuerySet
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from .door import Door, Paged
from .schema import described, page_of

#: How one value of the query narrows the rows: a look-up of theirs, or a condition made of the value.
Narrowing = str | Callable[[Any], Q]


def listed(
    name: str,
    *,
    tag: str,
    summary: str,
    description: str,
    shows: type[serializers.Serializer[Any]],
    example: Mapping[str, Any],
    rows: Callable[..., QuerySet[Any]],
    order: Sequence[str],
    asks: type[Paged] = Paged,
    by: Mapping[str, Narrowing] | None = None,
    completed: Callable[[list[Any]], list[Any]] = list,
) -> Callable[..., Response]:
    """The ``get`` of a door that lists: a page of ``rows`` in this order, shown each as ``shows``.

    ``rows`` is called with what stands in the address. ``order`` ends in something unique and knows no
    empty value. ``asks`` is the query, ``by`` what each of its values does, where it was given.
    ``completed`` adds to the rows of a page what is not of their table.
    """
    narrowings = by or {}

    def get(self: Door, request: Request, **named: Any) -> Response:
        asked = self.asked(asks)
        chosen = [_condition(how, asked[what]) for what, how in narrowings.items() if what in asked]
        found = rows(**named).filter(*chosen)
        return self.page(found, order, shows, asked, completed=completed)

    describe = described(
        tag=tag,
        name=name,
        summary=summary,
        description=description,
        query=asks,
        answer=page_of(shows),
        example={"next": None, "results": [example]},
    )
    method: Callable[..., Response] = describe(get)
    return method


def in_capitals(column: str) -> Narrowing:
    """Of codes that are kept in capitals: given in any case, they are looked up in theirs."""
    return lambda code: Q(**{column: code.upper()})


def _condition(how: Narrowing, value: Any) -> Q:
    return Q(**{how: value}) if isinstance(how, str) else how(value)
