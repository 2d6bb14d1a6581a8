"""What every door of the API has in common: who may pass, pages, look-ups, how it is described."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from operator import attrgetter
from typing import Any

from django.core import signing
from django.db.models import Model, Q, QuerySet
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.exceptions import APIException
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from fleet.models import User

from .auth import Reader
from .bodies import StrictJSON
from .fields import Shape, StrictInteger, StrictText

CURSOR_SALT = "greenband.api.cursor"
MOST_ROWS = 500


class Missing(APIException):
    """There is no such thing: a sentence says which, and where to look."""

    status_code = 404

    def __init__(self, code: str, sentence: str) -> None:
        super().__init__(sentence, code)


class Paged(Shape):
    """Every list: how many rows at once, and where to go on."""

    limit = StrictInteger(least=1, most=MOST_ROWS, default=100, help_text="Rows at once.")
    cursor = StrictText(
        required=False, max_length=2000, help_text="From the last answer's `next`; never made up."
    )


class Door(APIView):
    """One address of the API. Reading needs a role; an act asks for itself, inside."""

    permission_classes = [Reader]
    parser_classes = [StrictJSON]
    request: Request

    @property
    def person(self) -> User:
        """Who asks: signed in, or answerable for the token."""
        assert isinstance(self.request.user, User)
        return self.request.user

    def asked(self, shape: type[Shape]) -> dict[str, Any]:
        """The query, read by its shape; what is wrong is refused at its name."""
        return _read(shape(data=self.request.query_params))

    def brought(self, shape: type[Shape]) -> dict[str, Any]:
        """The body, read by its shape; what is wrong is refused at its field."""
        return _read(shape(data=self.request.data))

    def page(
        self,
        rows: QuerySet[Any],
        order: Sequence[str],
        shape: type[serializers.Serializer[Any]],
        asked: Mapping[str, Any],
        *,
        completed: Callable[[list[Any]], list[Any]] = list,
    ) -> Response:
        """One page in this order, which ends in something unique and knows no empty value.

        ``completed`` adds to the rows of the page what is not of their table.
        """
        if after := asked.get("cursor"):
            rows = rows.filter(_behind(order, _opened(after, order)))
        found = list(rows.order_by(*order)[: asked["limit"] + 1])
        shown, has_more = found[: asked["limit"]], len(found) > asked["limit"]
        return Response(
            {
                "next": self.address_with(cursor=_closed(shown[-1], order)) if has_more else None,
                "results": shape(completed(shown), many=True).data,
            }
        )

    def address_with(self, **changes: str) -> str:
        """This request's own address with some of its query changed."""
        query = self.request.query_params.copy()
        for name, value in changes.items():
            query[name] = value
        return self.request.build_absolute_uri(f"{self.request.path}?{query.urlencode()}")


class NoSuchAddress(Door):
    """Where no door is: a problem as everywhere else, not a page."""

    def get(self, request: Request, *args: Any, **kwargs: Any) -> Response:
        raise Missing(
            "unknown_address", "There is no door at this address. See /api/schema/ for all of them."
        )

    post = put = patch = delete = get


no_such_address = extend_schema(exclude=True)(NoSuchAddress).as_view()


def answer(data: Any, *, is_new: bool) -> Response:
    """What an act answers: 201 when it was done now, 200 when it had been done before."""
    return Response(data, status=201 if is_new else 200)


def found_or_missing(rows: QuerySet[Any], code: str, sentence: str, **lookup: Any) -> Any:
    """The one row of this look-up, or a problem that says what is unknown."""
    if any(isinstance(value, str) and "\x00" in value for value in lookup.values()):
        raise Missing(code, sentence)
    row = rows.filter(**lookup).first()
    if row is None:
        raise Missing(code, sentence)
    return row


def _read(shape: Shape) -> dict[str, Any]:
    shape.is_valid(raise_exception=True)
    return dict(shape.validated_data)


# --- cursors ----------------------------------------------------------------------------------


def _closed(row: Model, order: Sequence[str]) -> str:
    values = [attrgetter(name.lstrip("-").replace("__", "."))(row) for name in order]
    plain = [value if isinstance(value, int | str) else value.isoformat() for value in values]
    return signing.dumps([list(order), plain], salt=CURSOR_SALT)


def _opened(cursor: str, order: Sequence[str]) -> list[Any]:
    try:
        for_order, values = signing.loads(cursor, salt=CURSOR_SALT)
    except signing.BadSignature:
        for_order, values = None, []
    if for_order != list(order):
        raise serializers.ValidationError(
            {"cursor": ["This cursor is not of this list. Begin without one, then follow `next`."]},
            "invalid_cursor",
        )
    return list(values)


def _behind(order: Sequence[str], values: Sequence[Any]) -> Q:
    """Rows that come after these values in this order: a row comparison, column by column."""
    behind, same = Q(), Q()
    for name, value in zip(order, values, strict=True):
        column = name.lstrip("-")
        step = "lt" if name.startswith("-") else "gt"
        behind |= same & Q(**{f"{column}__{step}": value})
        same &= Q(**{column: value})
    # the first column alone lets the database begin at the right place of its index
    first = order[0].lstrip("-")
    step = "lte" if order[0].startswith("-") else "gte"
    return Q(**{f"{first}__{step}": values[0]}) & behind
