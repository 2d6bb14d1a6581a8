"""What is answered when a request could not be: a fault of ours, the database is away, it is too large."""

from __future__ import annotations

import sys
from http import HTTPStatus

from django.core.exceptions import RequestDataTooBig, TooManyFieldsSent, TooManyFilesSent
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.template.loader import render_to_string
from django.views.defaults import bad_request

from fleet.house.web import AWAY, PROBLEM_TYPE, TOO_LARGE, is_database_away, problem

AGAIN_SECONDS = 30
FAULT = problem(
    HTTPStatus.INTERNAL_SERVER_ERROR,
    "fault",
    "A fault on our side; it has been noted. Look whether what you sent was recorded before you send it again.",
)
UNREADABLE = problem(HTTPStatus.BAD_REQUEST, "invalid", "What was sent cannot be read.")
LONG_ADDRESS = problem(
    HTTPStatus.REQUEST_URI_TOO_LONG,
    "address_too_long",
    "This address is longer than can be read. Ask for less at once.",
)
LARGE_HEAD = problem(
    HTTPStatus.REQUEST_HEADER_FIELDS_TOO_LARGE,
    "head_too_large",
    "What the browser or program sends with every request is too large. Clear the cookies of this site.",
)
TOO_MUCH = (RequestDataTooBig, TooManyFieldsSent, TooManyFilesSent)


def refused(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Django's handler of what cannot be read: 413 for what is too much, else 400; a problem to programs."""
    is_much = isinstance(exception, TOO_MUCH)
    if request.path_info.startswith("/api/"):
        body = TOO_LARGE if is_much else UNREADABLE
        return JsonResponse(body, status=body["status"], content_type=PROBLEM_TYPE)
    if is_much:
        return HttpResponse(page_of(TOO_LARGE["detail"]), status=TOO_LARGE["status"])
    return bad_request(request, exception)


def page_of(sentence: str) -> str:
    """A page that says why something cannot be taken, made without asking anybody anything."""
    return render_to_string("413.html", {"sentence": sentence})


def fault(request: HttpRequest) -> HttpResponse:
    """Django's handler of last resort: 503 while the database is away, else 500; a problem to programs."""
    is_away = is_database_away(sys.exc_info()[1])
    if request.path_info.startswith("/api/"):
        body = AWAY if is_away else FAULT
        answer: HttpResponse = JsonResponse(body, status=body["status"], content_type=PROBLEM_TYPE)
    else:
        answer = HttpResponse(render_to_string("503.html" if is_away else "500.html"))
        answer.status_code = 503 if is_away else 500
    if is_away:
        answer["Retry-After"] = str(AGAIN_SECONDS)
    answer["Cache-Control"] = "no-store"
    return answer
