"""Every request is noted: one JSON line in the log, and the counts that /metrics tells.

A line has what helps to find a fault and nothing that opens a door: no query, no header, no body, no
one-time address; of a person the name to sign in with.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from time import perf_counter
from uuid import uuid4

import structlog
from django.http import HttpRequest, HttpResponseBase
from django.utils.functional import SimpleLazyObject, empty
from structlog.contextvars import bind_contextvars, clear_contextvars

from .tally import TALLY

log = structlog.get_logger("request")
HEADER = "X-Request-ID"
_ID = re.compile(r"[A-Za-z0-9._-]{1,64}")
_UUID = re.compile(r"[0-9a-fA-F-]{36}")
#: A part of an address so long, of such signs, is a key: one-time addresses are; names of things are not.
_KEY = re.compile(r"[A-Za-z0-9_\-:=.~%]{40,}")
_NOT_LOGGED = "(not logged)"
_LONGEST_PATH = 300


class Noted:
    """The middleware that notes each request once it is answered, by its id, which is sent back."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        clear_contextvars()
        name = request_id(request)
        bind_contextvars(request_id=name)
        began = perf_counter()
        answer = self.get_response(request)
        seconds = perf_counter() - began
        answer[HEADER] = name
        TALLY.note(door_of(request.path_info), answer.status_code, seconds)
        log.info(
            "request",
            method=request.method,
            path=told_path(request.path_info),
            status=answer.status_code,
            milliseconds=round(seconds * 1000, 1),
            person=person_of(request),
        )
        return answer


def request_id(request: HttpRequest) -> str:
    """The id that a proxy or a program gave the request; one of our own where it gave none that is one."""
    given = request.headers.get(HEADER, "")
    return given if _ID.fullmatch(given) else uuid4().hex


def door_of(path: str) -> str:
    """By which sort of address it came: of programs, of people, or a file of the pages."""
    if path.startswith("/api/"):
        return "api"
    return "file" if path.startswith("/static/") else "page"


def told_path(path: str) -> str:
    """The path for the log: what looks like a key in it is left out."""
    parts = path.split("/")
    if parts[1:2] != ["static"]:
        parts = [_NOT_LOGGED if _is_key(part) else part for part in parts]
    return "/".join(parts)[:_LONGEST_PATH]


def _is_key(part: str) -> bool:
    return bool(_KEY.fullmatch(part)) and not _UUID.fullmatch(part)


def person_of(request: HttpRequest) -> str | None:
    """Who it was, where somebody looked; nobody is asked only for the log."""
    user = getattr(request, "user", None)
    if isinstance(user, SimpleLazyObject) and user._wrapped is empty:
        return None
    return user.get_username() or None if user is not None else None
