"""What every page has in common: who may read it, which day is today, which day was asked for."""

from __future__ import annotations

import functools
from collections.abc import Callable
from datetime import date, datetime, time, timedelta
from typing import Any, TypeVar, cast
from zoneinfo import ZoneInfo

from django.conf import settings
from django.core.exceptions import PermissionDenied, ValidationError
from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase

from fleet.house.moments import FIRST_YEAR, LAST_YEAR, is_plausible

from .desks import may
from .entry import signed_out

View = Callable[..., HttpResponse]
Answer = TypeVar("Answer", bound=HttpResponseBase)


def today() -> date:
    """Today in the zone the operator reckons in. Only pages, commands and jobs ask."""
    return datetime.now(zone()).date()


def zone() -> ZoneInfo:
    return ZoneInfo(settings.GREENBAND_TODAY_ZONE)


def end_of(day: date, where: ZoneInfo | None = None) -> datetime:
    """The last instant of a day: what *on 3 March* means for a fact with two times. In the zone that the
    operator reckons in, or another."""
    after = datetime.combine(day + timedelta(days=1), time(), where or zone())
    return after - timedelta(microseconds=1)


TOO_FAR = f"is too far off. Give a day from 1 Jan {FIRST_YEAR} to 31 Dec {LAST_YEAR}."


def day_read(text: str) -> date:
    """A day as 2027-03-03. ValueError with a sentence for anything else, or a day too far off."""
    try:
        day = date.fromisoformat(text)
    except ValueError:
        raise ValueError(
            f"“{text[:40]}” is not a date. Give it as year-month-day, such as 2027-03-03."
        ) from None
    if not is_plausible(day):
        raise ValueError(f"“{text[:40]}” {TOO_FAR}")
    return day


def refuse_far(day: date) -> None:
    """Says on a form (``too_far``) that a day is a typing mistake: a validator of its fields."""
    if not is_plausible(day):
        raise ValidationError(f"This day {TOO_FAR}", code="too_far")


def reader(view: Callable[..., Answer]) -> Callable[..., Answer]:
    """This will let in only people who are signed in and hold a role; see :mod:`fleet.house.entry`."""

    @functools.wraps(view)
    def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> Answer:
        if not request.user.is_authenticated:
            return cast(Answer, signed_out(request))
        if not may(request.user, "read"):
            raise PermissionDenied(
                "Your account holds no role yet. Ask the person who manages accounts to give you one."
            )
        return view(request, *args, **kwargs)

    return guarded


def wants_part(request: HttpRequest) -> bool:
    """Whether htmx asks for a part of a page; going back in the browser asks for the whole."""
    htmx = getattr(request, "htmx", None)
    return bool(htmx and not htmx.history_restore_request)
