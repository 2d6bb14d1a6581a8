"""What is answered when a request could not be: a fault of ours, or the database is away."""

from __future__ import annotations

import sys
from http import HTTPStatus

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.template.loader import render_to_string

from fleet.house.web import AWAY, PROBLEM_TYPE, is_database_away, problem

AGAIN_SECONDS = 30
FAULT = problem(
    HTTPStatus.INTERNAL_SERVER_ERROR,
    "fault",
    "A fault on our side; it has been noted. Look whether what you sent was recorded before you send it again.",
)


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
