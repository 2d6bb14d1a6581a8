"""How a refusal reaches a person or a program: at a form's field, as a problem, on a sheet's line.

The sentence and the code are the act's own; nothing is worded a second time here. A clash that
only the database saw (a named constraint) comes out under the constraint's name.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from http import HTTPStatus
from typing import Any

from django.core.exceptions import PermissionDenied, RequestDataTooBig, SuspiciousOperation
from django.core.exceptions import ValidationError as FormError
from django.db import DataError, IntegrityError, InterfaceError, OperationalError
from django.forms import BaseForm
from django.http import Http404
from rest_framework import exceptions
from rest_framework.response import Response
from rest_framework.views import set_rollback

from .refusals import Refusal, Refused

PROBLEM_TYPE = "application/problem+json"
FORBIDDEN_CODES = frozenset({"not_permitted"})
WORDS_OF_SHAPE = {
    "required": "This is missing. Give it.",
    "null": "This may not be empty. Give it.",
    "blank": "This may not be empty. Give it.",
}


# --- from the database ------------------------------------------------------------------------


def refused_by_database(error: IntegrityError) -> Refused:
    """The refusal that a named constraint stands for: its name is the code and the sentence."""
    diagnostics = getattr(error.__cause__, "diag", None)
    name = getattr(diagnostics, "constraint_name", None) or ""
    # A trigger that refuses raises its sentence as the message and names no constraint.
    said = getattr(diagnostics, "message_primary", None) or ""
    if not name:
        return Refused("clashes_with_records", said or "This clashes with what is on record.")
    words = name.replace("_", " ").strip()
    return Refused(
        name,
        f"The records do not allow it: {words}. Look up what is on record and correct either.",
    )


# --- to a form --------------------------------------------------------------------------------


def show_on_form(form: BaseForm, refused: Refused) -> None:
    """This will put each reason at its field, or above the form if it has no such field."""
    for refusal in refused.refusals:
        field = refusal.field if refusal.field in form.fields else None
        form.add_error(field, FormError(refusal.message, code=refusal.code))


# --- to a program (RFC 9457) ------------------------------------------------------------------


def problem(status: int, code: str, detail: str, errors: Iterable[Refusal] = ()) -> dict[str, Any]:
    """A problem's members: type, title, status, detail, code, and errors with field and code."""
    return {
        "type": f"urn:greenband:problem:{code}",
        "title": code.replace("_", " ").capitalize(),
        "status": status,
        "detail": detail,
        "code": code,
        "errors": [
            {"field": found.field, "code": found.code, "message": found.message} for found in errors
        ],
    }


AWAY = problem(
    HTTPStatus.SERVICE_UNAVAILABLE,
    "database_away",
    "The records cannot be reached just now; nothing was changed. Try again in a minute.",
)
TOO_LARGE = problem(
    HTTPStatus.REQUEST_ENTITY_TOO_LARGE, "too_large", "This is too large. Send it in parts."
)
#: What PostgreSQL says of a connection that cannot be had or has ended: classes of its codes.
GONE = ("08", "57P", "53")


def is_database_away(error: BaseException | None) -> bool:
    """Whether this is the database not being there, rather than something that it refuses."""
    if isinstance(error, InterfaceError):
        return True
    state = getattr(error.__cause__, "sqlstate", None) if error else None
    return isinstance(error, OperationalError) and (state is None or state.startswith(GONE))


def problem_of(refused: Refused, status: int | None = None) -> dict[str, Any]:
    """The problem that a refusal is: 403 where the role does not allow it, else 422."""
    if status is None:
        forbidden = refused.code in FORBIDDEN_CODES
        status = HTTPStatus.FORBIDDEN if forbidden else HTTPStatus.UNPROCESSABLE_ENTITY
    return problem(int(status), refused.code, refused.message, refused.refusals)


def problem_response(body: Mapping[str, Any], headers: Mapping[str, str] | None = None) -> Response:
    return Response(
        dict(body), status=body["status"], content_type=PROBLEM_TYPE, headers=dict(headers or {})
    )


def problem_handler(error: Exception, context: Mapping[str, Any]) -> Response | None:
    """This will answer every expected error as a problem; None leaves a fault to be a fault."""
    body = AWAY if is_database_away(error) else _problem_of_error(error)
    if body is None:
        return None
    set_rollback()
    return problem_response(body, _headers_of(error))


# Errors that carry no words of ours: the first that fits.
PLAIN: tuple[tuple[type[Exception], int, str, str], ...] = (
    (DataError, 400, "out_of_range", "A value is larger or longer than can be kept."),
    (Http404, 404, "not_found", "There is no such thing at this address."),
    (RequestDataTooBig, 413, "too_large", TOO_LARGE["detail"]),
    (SuspiciousOperation, 400, "invalid", "What was sent cannot be read."),
    (PermissionDenied, 403, "not_permitted", "Your role does not allow this."),
)


def _problem_of_error(error: Exception) -> dict[str, Any] | None:
    match error:
        case Refused():
            return problem_of(error)
        case IntegrityError():
            return problem_of(refused_by_database(error), HTTPStatus.CONFLICT)
        case exceptions.ValidationError():
            return _problem_of_shape(error)
        case exceptions.APIException():
            code = str(getattr(error.detail, "code", error.default_code))
            return problem(error.status_code, code, str(error.detail))
    for kind, status, code, sentence in PLAIN:
        if isinstance(error, kind):
            return problem(status, code, sentence)
    return None


def _problem_of_shape(error: exceptions.ValidationError) -> dict[str, Any]:
    found = list(_flattened(error.detail))
    where = ", ".join(dict.fromkeys(each.field for each in found if each.field))
    detail = f"What was sent cannot be read: see {where}." if where else found[0].message
    return problem(400, found[0].code, detail, found)


def _flattened(detail: Any, path: str = "") -> Iterator[Refusal]:
    """Each error with the dotted path of its field: ``units.0.serial_number``."""
    if isinstance(detail, Mapping):
        for key, inner in detail.items():
            # errors of the whole object stand at the object itself
            at = path if key == "non_field_errors" else f"{path}.{key}" if path else str(key)
            yield from _flattened(inner, at)
    elif isinstance(detail, list):
        for index, inner in enumerate(detail):
            is_nested = isinstance(inner, Mapping | list)
            yield from _flattened(inner, f"{path}.{index}" if is_nested else path)
    else:
        code = str(getattr(detail, "code", "invalid"))
        yield Refusal(code, WORDS_OF_SHAPE.get(code, str(detail)), path or None)


def _headers_of(error: Exception) -> dict[str, str]:
    headers: dict[str, str] = {}
    if challenge := getattr(error, "auth_header", None):
        headers["WWW-Authenticate"] = challenge
    if is_database_away(error):
        headers["Retry-After"] = "30"
    if wait := getattr(error, "wait", None):
        headers["Retry-After"] = str(int(wait))
    return headers
