"""How the doors are described: every operation with its words, an example and its problems."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from drf_spectacular.extensions import OpenApiAuthenticationExtension
from drf_spectacular.utils import OpenApiExample, OpenApiResponse, extend_schema, inline_serializer
from rest_framework import serializers

from fleet.house.desks import ACTS, ROLES
from fleet.house.web import PROBLEM_TYPE

from .fields import Shape


class TokenScheme(OpenApiAuthenticationExtension):
    """How the schema names the token."""

    target_class = "fleet.doors.auth.TokenAuthentication"
    name = "token"

    def get_security_definition(self, auto_schema: object) -> dict[str, str]:
        return {
            "type": "http",
            "scheme": "bearer",
            "description": "A token with one role, made by an administrator and shown once.",
        }


class FieldProblem(serializers.Serializer[Any]):
    field = serializers.CharField(allow_null=True)
    code = serializers.CharField()
    message = serializers.CharField()


class Problem(serializers.Serializer[Any]):
    """RFC 9457. `code` is stable and for programs, `detail` a sentence for people."""

    type = serializers.CharField()
    title = serializers.CharField()
    status = serializers.IntegerField()
    detail = serializers.CharField()
    code = serializers.CharField()
    errors = FieldProblem(many=True)  # type: ignore[assignment]


PROBLEMS = {
    400: "What was sent cannot be read; `errors` names the fields.",
    401: "No token, or one that does not count.",
    403: "The role does not allow it.",
    404: "There is no such thing.",
    409: "It clashes with what is on record.",
    413: "Too large: send it in parts.",
    414: "The address is too long: ask for less at once.",
    415: "Not of the media type that is taken here.",
    422: "The act was refused, by code, in a sentence.",
    429: "Too many unknown tokens came from this address. Try again after `Retry-After`.",
    503: "The records cannot be reached just now; nothing was changed. Try again after `Retry-After`.",
}


READ_PROBLEMS = frozenset({400, 401, 403, 404, 414, 429, 503})


def page_of(item: type[serializers.Serializer[Any]]) -> Any:
    """The schema of one page of these items."""
    return inline_serializer(
        f"{item.__name__}Page",
        {
            "next": serializers.URLField(allow_null=True, help_text="The next page, or null."),
            "results": item(many=True),
        },
    )


def described(
    *,
    tag: str,
    summary: str,
    description: str,
    answer: Any,
    example: Any,
    name: str,
    query: type[Shape] | None = None,
    takes: Any = None,
    sent: Mapping[str, Any] | None = None,
    act: str | None = None,
    media: str = "application/json",
) -> Any:
    """The schema of one operation; every one is described, tagged and shown by example.

    ``act`` is the row of the table of who may do what; the schema then says who may. ``media`` is of
    the answer, where it is a file.
    """
    good = 201 if act else 200
    examples = [
        OpenApiExample(
            "answer", value=example, response_only=True, status_codes=[str(good)], media_type=media
        )
    ]
    if sent is not None:
        examples.append(OpenApiExample("sent", value=dict(sent), request_only=True))
    return extend_schema(
        operation_id=name,
        tags=[tag],
        summary=summary,
        description=f"{description} {_open_to(act)}".strip(),
        parameters=[query] if query else None,
        request=takes,
        responses=_answers(answer, act, media),
        examples=examples,
        extensions={"x-act": act} if act else None,
    )


def _answers(answer: Any, act: str | None, media: str) -> dict[Any, Any]:
    answers: dict[Any, Any] = {(200, media): answer}
    if act:
        again = "This act had been done before; nothing was changed."
        answers = {
            201: OpenApiResponse(answer, description="Done now."),
            200: OpenApiResponse(answer, description=again),
        }
    for status, words in PROBLEMS.items():
        if status in READ_PROBLEMS or act:
            answers[status, PROBLEM_TYPE] = OpenApiResponse(Problem, description=words)
    return answers


def _open_to(act: str | None) -> str:
    if act is None:
        return ""
    return f"Open to: {'; '.join(words for role, words in ROLES if role in ACTS[act])}."
